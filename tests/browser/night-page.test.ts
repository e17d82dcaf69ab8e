import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeStarAtlas } from '../../src/field/star-atlas.js';
import { makePreview } from '../../src/image/preview.js';
import { nightPage } from '../../src/report/page/night-page.js';
import { drawStars } from '../field/drawn-stars.js';
import { syntheticNight, type SyntheticOptions } from '../report/synthetic-night.js';
import { browserTitle, hasChromium, launchChromium } from './chromium.js';
import { seriousFaults } from './serious-faults.js';

describe.skipIf(!hasChromium)(browserTitle('the page in a browser'), () => {
  let browser: Browser;
  let folder: string;
  let pictures: { preview: Uint8Array; atlas: Uint8Array };

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'night-page-'));
    browser = await launchChromium();
    const stars = drawStars({ width: 1200, height: 800, count: 300, shape: () => ({ xx: 2, xy: 0, yy: 2 }) });
    pictures = {
      preview: await makePreview(stars.plane, stars.background),
      atlas: (await makeStarAtlas(stars.plane, stars.background, stars.table)).png,
    };
  });
  afterAll(async () => {
    await browser?.close();
    await rm(folder, { recursive: true, force: true });
  });

  /** Open a synthetic night from disk; everything the page complains about or asks for is collected. */
  async function open(options: SyntheticOptions, width = 1024, javaScriptEnabled = true) {
    const night = syntheticNight({ pictures: () => pictures, ...options });
    const file = join(folder, `night-${options.frames}-${options.text ? 'hostile' : 'tame'}.html`);
    await writeFile(file, nightPage(night, { pictures: true }));
    const context = await browser.newContext({ viewport: { width, height: 900 }, javaScriptEnabled });
    const page = await context.newPage();
    const complaints: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('dialog', (dialog) => {
      complaints.push(`dialog: ${dialog.message()}`);
      void dialog.dismiss();
    });
    page.on('request', (request) => {
      if (!/^(data|file):/.test(request.url())) complaints.push(`request: ${request.url()}`);
    });
    await page.goto(pathToFileURL(file).href, { waitUntil: 'load' });
    return { page, night, complaints, close: () => context.close() };
  }

  const rowNames = (page: Page) =>
    page.$$eval('#subs-table tbody tr:not([hidden]) th', (cells) =>
      cells.map((cell) => cell.textContent!.trim()),
    );

  it('sorts, filters, steps by button and key, and follows links, without a complaint or a request', async () => {
    const { page, night, complaints, close } = await open({ frames: 40, filters: ['R', 'G', 'B'] });
    const rejected = night.frames.filter((frame) => frame.decision === 'reject');

    await page.click('th[data-column="fwhm"] button');
    const byWidth = [...night.frames]
      .sort((a, b) => a.fwhm.arcsec! - b.fwhm.arcsec!)
      .map((frame) => frame.file);
    expect(await rowNames(page)).toEqual(byWidth);
    expect(await page.getAttribute('th[data-column="fwhm"]', 'aria-sort')).toBe('ascending');
    await page.click('th[data-column="fwhm"] button');
    expect(await rowNames(page)).toEqual([...byWidth].reverse());

    await page.selectOption('#by-decision', 'reject');
    expect((await rowNames(page)).sort()).toEqual(rejected.map((frame) => frame.file).sort());
    await page.selectOption('#by-reason', 'transparency');
    const cloudy = rejected.filter((frame) => frame.reasons.some((reason) => reason.code === 'transparency'));
    expect(await rowNames(page)).toHaveLength(cloudy.length);
    await page.click('#filters button[type=reset]');
    await expect.poll(() => page.textContent('#shown')).toBe('40 subs');
    await page.fill('#find', night.frames[7]!.file);
    expect(await rowNames(page)).toEqual([night.frames[7]!.file]);
    await page.fill('#find', '');

    await page.click('th[data-column="time"] button');
    await page.click(`#subs-table a[href="#f0"]`);
    const shown = () => page.$eval('.frame.now summary b', (name) => name.textContent!.trim());
    await expect.poll(() => page.getAttribute('.frame.now', 'id')).toBe('f0');
    expect(await shown()).toBe(night.frames[0]!.file);
    await page.click('#step-on');
    await page.keyboard.press('ArrowRight');
    expect(await shown()).toBe(night.frames[2]!.file);
    await page.keyboard.press('ArrowLeft');
    expect(await shown()).toBe(night.frames[1]!.file);
    await page.keyboard.press('End');
    expect(await shown()).toBe(night.frames[39]!.file);
    expect(await page.isDisabled('#step-on')).toBe(true);

    const marks = page.locator('.scroller.wide use[data-f="5"]').first();
    await marks.hover();
    expect(await page.textContent('#readout')).toContain(night.frames[5]!.file);
    await marks.click();
    expect(await shown()).toBe(night.frames[5]!.file);

    expect(complaints).toEqual([]);
    await close();
  });

  it('reads without JavaScript: figures, folded frames and palettes', async () => {
    const { page, night, complaints, close } = await open({ frames: 12 }, 1024, false);
    expect(await page.locator('#subs-table tbody tr').count()).toBe(12);
    expect(await page.locator('#filters').isVisible()).toBe(false);
    await page.locator('#f3 summary').click();
    expect(await page.locator('#f3 dl').isVisible()).toBe(true);
    expect(await page.locator('#f3').textContent()).toContain(night.frames[3]!.file);
    await page.check('#palette-night');
    const ground = await page.evaluate('getComputedStyle(document.body).backgroundColor');
    expect(ground).toBe('rgb(0, 0, 0)');
    expect(complaints).toEqual([]);
    await close();
  });

  it.each([
    { frames: 1, width: 390, names: ['light', 'dark', 'night'] },
    { frames: 12, width: 1024, names: ['light'] },
    { frames: 12, width: 1920, names: ['night'] },
  ])(
    'has no serious accessibility fault and no sideways scroll: $frames frames, $width px, $names',
    async ({ frames, width, names }) => {
      const { page, complaints, close } = await open({ frames }, width);
      expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
      const hidden = await page.evaluate(
        "(() => { const box = document.querySelector('.tablebox.tall'); return box ? box.scrollWidth - box.clientWidth : 0; })()",
      );
      if (width === 1024) expect(hidden).toBeLessThanOrEqual(0);
      for (const palette of names) {
        await page.check(`#palette-${palette}`);
        expect(await seriousFaults(page), palette).toEqual([]);
      }
      expect(complaints).toEqual([]);
      await close();
    },
  );

  it('shows no light but red in the night palette', async () => {
    const { page, close } = await open({ frames: 12 }, 1024);
    await page.check('#palette-night');
    const { default: sharp } = await import('sharp');
    const { channels } = await sharp(await page.screenshot({ fullPage: true })).stats();
    expect(channels[0]!.max).toBe(255);
    // Sub-pixel rounding of blended edges may leave a step or two.
    expect(channels[1]!.max).toBeLessThan(8);
    expect(channels[2]!.max).toBeLessThan(8);
    await close();
  });

  it('lets hostile header texts do nothing', async () => {
    const text = `"><script>alert(1)</script><img src=x onerror=alert(1)>'\`\${alert(1)}`;
    const { page, complaints, close } = await open({ frames: 12, text });
    expect(await page.locator('#subs-table tbody tr').count()).toBe(12);
    await page.click('#step-on');
    expect(complaints).toEqual([]);
    await close();
  });

  it('opens 400 frames with pictures hardly slower than their bytes, from a page under 25 MB', async () => {
    const { page, night, complaints, close } = await open({ frames: 400 });
    const bytes = nightPage(night, { pictures: true }).length;
    expect(bytes).toBeLessThan(25e6);
    // By the clock of an idle machine it is a second (`npm run bench:report`); here, beside other tests, a page of as many bytes and nothing else is the measure.
    const plain = join(folder, 'plain.html');
    await writeFile(plain, `<!doctype html><script type="text/plain">${'x'.repeat(bytes)}</script>`);
    const own = page.url();
    const fastest = { own: Infinity, plain: Infinity };
    for (let round = 0; round < 5; round++) {
      for (const [which, url] of [
        ['plain', pathToFileURL(plain).href],
        ['own', own],
      ] as const) {
        const start = performance.now();
        await page.goto(url, { waitUntil: 'load' });
        fastest[which] = Math.min(fastest[which], performance.now() - start);
      }
    }
    expect(fastest.own / fastest.plain).toBeLessThan(3);
    expect(await page.locator('.frame.now').count()).toBe(1);
    expect(complaints).toEqual([]);
    await close();
  });
});
