import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { serveReview } from '../../src/report/review/review-server.js';
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
    let night = syntheticNight({ frames: 6 });
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
            return { ...frame, decision: decision ?? 'keep', reasons: decision ? [overruled] : [] };
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

      await page.keyboard.press('ArrowRight');
      expect(await page.textContent('#review-frame')).toBe(night.frames[1]!.file);
      await page.keyboard.press('r');
      await expect.poll(() => page.textContent('#review-answer')).toBe('Rejected by you.');
      expect(night.frames[1]!.decision).toBe('reject');
      expect(await page.textContent('#t1 .reject')).toContain('reject');
      expect(await page.textContent('.headline')).toContain('of 6 subs');

      await page.keyboard.press('ArrowRight');
      await page.click('[data-decide="reject"]');
      await expect.poll(() => page.getAttribute('#t2', 'data-decision')).toBe('reject');
      await page.click('[data-decide=""]');
      await expect.poll(() => page.getAttribute('#t2', 'data-decision')).toBe('keep');

      await page.reload();
      expect(await page.getAttribute('#t1', 'data-decision')).toBe('reject');
      expect(complaints).toEqual([]);
    } finally {
      await server.close();
    }
  });
});
