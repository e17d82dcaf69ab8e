import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rigPage } from '../../src/report/rig/page/index.js';
import { trends } from '../report/rig/trend-fixture.js';
import { browserTitle, hasChromium, launchChromium } from './chromium.js';
import { seriousFaults } from './serious-faults.js';

describe.skipIf(!hasChromium)(browserTitle('the history page in a browser'), () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'rig-page-'));
    await writeFile(join(folder, 'rig.html'), rigPage(trends));
    browser = await launchChromium();
  });
  afterAll(async () => {
    await browser?.close();
    await rm(folder, { recursive: true, force: true });
  });

  it.each([390, 1024, 1920])(
    'no serious accessibility fault, no sideways scroll, no request at %i px',
    async (width) => {
      const page = await browser.newPage({ viewport: { width, height: 900 } });
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(error.message));
      page.on('request', (request) => {
        if (!request.url().startsWith('file:')) complaints.push(`request: ${request.url()}`);
      });
      await page.goto(pathToFileURL(join(folder, 'rig.html')).href);
      expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
      for (const palette of ['light', 'dark', 'night']) {
        await page.check(`#palette-${palette}`);
        expect(await seriousFaults(page), palette).toEqual([]);
      }
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});
