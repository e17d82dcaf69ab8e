import { describe, expect, it } from 'vitest';
import { readerOf } from '../../src/image/tile-reader.js';
import { makeTileSampler } from '../../src/image/tile-sampler.js';
import { wholeReader } from '../../src/image/whole-reader.js';
import { planeOf } from '../scenes/plane.js';
import { seededRandom } from '../scenes/random.js';

describe('readings of tiles in whole numbers', () => {
  const random = seededRandom(11);
  // Every twentieth pixel stands on starlight.
  const plane = planeOf(192, 192, (x, y) =>
    Math.round(40000 + 0.5 * x + 0.25 * y + 30 * random.normal() + (random.uniform() < 0.05 ? 300 : 0)),
  );
  /** The readings in floats and plain TypeScript, of the same pixels: every fifth row for a first look at tiles of 64 pixels, every third for the second. */
  const plain = (rowStep: number) => readerOf(makeTileSampler(plane, 64, rowStep, 1, 0));

  it('are what the readings of any pixels are', () => {
    const ours = wholeReader(plane, 64).coarse(64, 64, 128, 128);
    const theirs = plain(5).coarse(64, 64, 128, 128);
    expect(ours.n).toBe(theirs.n);
    // Straight lines between counts an eighth of the spread apart.
    expect(Math.abs(ours.median - theirs.median)).toBeLessThan(2);
    expect(Math.abs(ours.sd - theirs.sd)).toBeLessThan(4);
    // Rest is not the same from another start: 0.4 standard errors, about 0.05 sd.
    expect(Math.abs(ours.coreMean - theirs.coreMean)).toBeLessThan(3);
  });

  it('of residuals are those of any pixels, wherever the surroundings are dark, and everywhere', () => {
    for (const isQuiet of [false, true]) {
      const bounds = [64, 64, 128, 128] as const;
      const ours = wholeReader(plane, 64, 30).core(isQuiet, bounds, 40048, 0.5, 0.25, 35);
      const theirs = plain(3).core(isQuiet, bounds, 40048, 0.5, 0.25, 35);
      // A pixel on the edge of dark surroundings may fall on either side.
      expect(Math.abs(ours.n - theirs.n)).toBeLessThan(isQuiet ? 40 : 1);
      expect(Math.abs(ours.mean - theirs.mean)).toBeLessThan(isQuiet ? 1 : 0.3);
      expect(Math.abs(ours.sd - theirs.sd)).toBeLessThan(isQuiet ? 1 : 0.3);
      expect(Math.abs(ours.sd / 30 - 1)).toBeLessThan(0.12);
    }
  });

  it('count the green sites only on a mosaic', () => {
    const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
    const bayer = planeOf(128, 128, (x, y) => ((x + y) % 2 === 1 ? 500 + (x % 3) : 9000), { mosaic });
    const { n, median } = wholeReader(bayer, 64).coarse(0, 0, 64, 64);
    expect(n % 32).toBe(0);
    expect(Math.abs(median - 501)).toBeLessThan(1);
  });
});
