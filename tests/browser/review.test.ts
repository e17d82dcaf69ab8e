import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { serveReview } from '../../src/report/review/review-server.js';
import type { DecisionReason } from '../../src/night/types.js';
import { syntheticNight } from '../report/synthetic-night.js';
import { browserTitle, hasChromium, launchChromium } from './chromium.js';

describe.skipIf(!hasChromium)(browserTitle('the review page in a browser'), () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchChromium();
  });
  afterAll(async () => {
    await browser?.close();
  });

  it('overrules a decision by key and by button, shows it, and keeps it over a reload', async () => {
    const drawnOut = {
      code: 'elongation' as const,
      message: 'elongation 1.81 is over the limit 1.35',
      value: 1.81,
      limit: 1.35,
    };
    let night = syntheticNight({ frames: 6 });
    night = {
      ...night,
      frames: night.frames.map((frame, i) =>
        i === 3
          ? { ...frame, decision: 'reject', reasons: [drawnOut] }
          : { ...frame, decision: 'keep', reasons: [] },
      ),
    };
    const server = await serveReview(
      {
        night: () => night,
        decide: (file, decision) => {
          const frames = night.frames.map((frame) => {
            if (frame.file !== file) return frame;
            const overruled = {
              code: 'overruled' as const,
              message: 'by your own decision',
              value: null,
              limit: null,
            };
            const measured: readonly DecisionReason[] = decision === 'keep' ? [drawnOut] : [];
            return {
              ...frame,
              decision: decision ?? 'keep',
              reasons: decision ? [overruled, ...measured] : [],
            };
          });
          const kept = frames.filter((frame) => frame.decision === 'keep').length;
          const summary = { ...night.night.summary, kept, rejected: frames.length - kept };
          night = { ...night, frames, night: { ...night.night, summary } };
          return night;
        },
      },
      { pictures: false },
    );
    try {
      const page = await browser.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(error.message));
      await page.goto(server.url);
      expect(page.url()).not.toContain('token');

      expect(await page.evaluate('scrollY')).toBe(0);
      await page.keyboard.press('ArrowRight');
      const top = await page.evaluate("document.getElementById('viewer').getBoundingClientRect().top");
      expect(top).toBeLessThan(400);
      expect(await page.textContent('#review-frame')).toBe(night.frames[1]!.file);
      await page.keyboard.press('r');
      await expect
        .poll(() => page.textContent('#review-answer'))
        .toContain('Rejected by you. Keep 4 of 6 subs');
      expect(night.frames[1]!.decision).toBe('reject');
      expect(await page.textContent('#t1 .reject')).toContain('reject');
      expect(await page.textContent('.headline')).toContain('Keep 4 of 6 subs');
      expect(await page.locator('.strip .down').count()).toBe(2);
      expect(await page.textContent('.tally')).toMatch(/Rejected:\s*2/);
      expect(await page.textContent('#t1')).toContain('rejected by you');

      await page.keyboard.press('ArrowRight');
      await page.click('[data-decide="reject"]');
      await expect.poll(() => page.getAttribute('#t2', 'data-decision')).toBe('reject');
      await page.click('[data-decide=""]');
      await expect.poll(() => page.getAttribute('#t2', 'data-decision')).toBe('keep');

      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('k');
      await expect.poll(() => page.textContent('#t3')).toContain('kept by you, against: elongation 1.81');
      expect(await page.textContent('#f3 .why')).toContain('kept by you, against: elongation 1.81');
      expect(await page.textContent('#f3 summary')).toContain('keep');
      expect(await page.locator('.strip .down').count()).toBe(1);
      expect(await page.getAttribute('#timeline use[data-f="3"]', 'href')).toMatch(/^#k/);
      expect(await page.locator('#subs-table tbody tr').count()).toBe(6);

      await page.reload();
      expect(await page.getAttribute('#t1', 'data-decision')).toBe('reject');
      expect(complaints).toEqual([]);

      await page.goto(server.url);
      expect(await page.textContent('#review')).toContain('Your decision');
      const stranger = await (await browser.newContext()).newPage();
      await stranger.goto(server.url);
      expect(await stranger.textContent('body')).toContain('starassay review again');
    } finally {
      await server.close();
    }
  });
});
