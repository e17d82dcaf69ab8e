// What `--report` adds to a run over 26 Mpx frames (processor time, runs alternated), and how fast Chromium opens a page of 400 subs.
// Run: npm run bench:report
import { spawnSync } from 'node:child_process';
import { linkSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { meanStars } from '../../src/field/mean-stars.js';
import { encodeStarAtlas } from '../../src/field/star-atlas-picture.js';
import { makeStarAtlas } from '../../src/field/star-atlas.js';
import { chooseImage, openFits, readPlane } from '../../src/fits/index.js';
import { measureBackground } from '../../src/image/index.js';
import { makePreview } from '../../src/image/preview.js';
import { nightPage } from '../../src/report/page/night-page.js';
import { groupAtlases } from '../../src/report/pictures/index.js';
import { createPixelMemory } from '../../src/kernels/index.js';
import { measureStars } from '../../src/stars/index.js';
import { hasChromium, launchChromium } from '../browser/chromium.js';
import { drawStars } from '../field/drawn-stars.js';
import { syntheticNight } from '../report/synthetic-night.js';
import { makeBigFrame } from './make-big-frame.js';
import { processorTime } from './timing.js';

/** A short night: what the program takes to start, and the page's own rendering, spread over its frames as on a real one. */
const FRAMES = 100;
/** Exposures of which the night is made, again and again: each takes seconds to draw. */
const EXPOSURES = 6;
const ROUNDS = 2;
const main = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'starassay-report-cost-'));
const median = (values: number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;

/** Processor seconds of one command, as the shell accounts for it: a busy machine does not stretch it. */
function processorSeconds(args: readonly string[]): number {
  const script = '"$@" >/dev/null 2>&1 || exit 1; times';
  const result = spawnSync('/bin/sh', ['-c', script, 'sh', process.execPath, main, ...args], {
    encoding: 'utf8',
  });
  if (result.status !== 0) throw new Error(`starassay ${args.join(' ')} failed`);
  const children = result.stdout.trim().split('\n').at(-1)!;
  return [...children.matchAll(/(\d+)m([\d.]+)s/g)].reduce(
    (sum, [, m, s]) => sum + 60 * Number(m) + Number(s),
    0,
  );
}

async function cost(): Promise<void> {
  const night = join(folder, 'night');
  spawnSync('mkdir', [night]);
  for (let i = 0; i < FRAMES; i++)
    // Symbolic links to one file would be measured once.
    linkSync(makeBigFrame('26 Mpx', 3000, 1, i % EXPOSURES), join(night, `sub-${i}.fits`));
  const plain: number[] = [];
  const page: number[] = [];
  const file = join(folder, 'night.html');
  for (let round = 0; round < ROUNDS; round++) {
    plain.push(processorSeconds(['cull', night, '--no-cache', '--no-history', '--threads', '1']));
    page.push(
      processorSeconds(['cull', night, '--no-cache', '--no-history', '--threads', '1', '--report', file]),
    );
  }
  const [without, within] = [median(plain), median(page)];
  console.log(
    `${FRAMES} frames of 26 Mpx: ${without.toFixed(2)} s of processor without the page, ${within.toFixed(2)} s with it: ` +
      `+${((100 * (within - without)) / without).toFixed(0)} % (limit 25 %), ${((1000 * (within - without)) / FRAMES).toFixed(0)} ms a frame with the page's own rendering; page ${(statSync(file).size / 1e6).toFixed(2)} MB`,
  );
}

/** What of it each frame's pictures take, in this process: medians over warm frames. */
async function pictureCost(): Promise<void> {
  const memory = createPixelMemory();
  const fits = openFits(makeBigFrame('26 Mpx', 3000, 1, 0));
  const plane = readPlane(fits, chooseImage(fits), { scratch: memory });
  const background = measureBackground(plane);
  const { table } = measureStars(plane, background, {});
  const times: Record<string, number[]> = { preview: [], 'mean stars': [], 'their picture': [] };
  const timed = async <T>(name: string, step: () => T | Promise<T>): Promise<T> => {
    const from = processorTime();
    const result = await step();
    times[name]!.push(processorTime() - from);
    return result;
  };
  for (let i = 0; i < 30; i++) {
    await timed('preview', () => makePreview(plane, background));
    const atlas = await timed('mean stars', () => meanStars(plane, background, table));
    await timed('their picture', () => encodeStarAtlas(atlas));
  }
  fits.close();
  console.log(
    `pictures of a frame: ${Object.entries(times)
      .map(([name, values]) => `${name} ${median(values).toFixed(1)} ms`)
      .join(', ')}`,
  );
}

async function opening(): Promise<void> {
  const stars = drawStars({ width: 1200, height: 800, count: 300, shape: () => ({ xx: 2, xy: 0, yy: 2 }) });
  const { atlas, png } = await makeStarAtlas(stars.plane, stars.background, stars.table);
  const pictures = {
    preview: await makePreview(stars.plane, stars.background),
    atlas: png,
    meanStars: atlas,
  };
  const night = syntheticNight({ frames: 400, filters: ['R', 'G', 'B'], pictures: () => pictures });
  const html = nightPage(night, { pictures: true, groupAtlases: await groupAtlases(night) });
  const file = join(folder, 'page-400.html');
  writeFileSync(file, html);
  console.log(`page of 400 subs: ${(html.length / 1e6).toFixed(1)} MB (limit 25 MB)`);
  if (!hasChromium) return console.log('there is no Chromium here to open it in');
  const browser = await launchChromium();
  const opened: number[] = [];
  for (let run = 0; run < 5; run++) {
    const tab = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    await tab.goto(pathToFileURL(file).href, { waitUntil: 'load' });
    // The browser's own clock, from the start of the navigation to the end of its load event.
    const entry = (await tab.evaluate('performance.getEntriesByType("navigation")[0].toJSON()')) as {
      loadEventEnd: number;
    };
    opened.push(entry.loadEventEnd);
    await tab.close();
  }
  await browser.close();
  console.log(
    `opened in ${Math.round(median(opened))} ms (fastest ${Math.round(Math.min(...opened))}; limit 2000)`,
  );
}

await cost();
await pictureCost();
await opening();
rmSync(folder, { recursive: true });
