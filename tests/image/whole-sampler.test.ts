import { describe, expect, it } from 'vitest';
import { makeTileSampler } from '../../src/image/tile-sampler.js';
import { makeWholeSampler } from '../../src/image/whole-sampler.js';
import { planeOf } from '../scenes/plane.js';
import { seededRandom } from '../scenes/random.js';

describe('tile sampler in whole numbers', () => {
  const random = seededRandom(11);
  const plane = planeOf(192, 192, (x, y) => Math.round(40000 + 0.5 * x + 0.25 * y + 30 * random.normal()));

  it('sees what the sampler of any pixels sees', () => {
    const whole = makeWholeSampler(plane, 64, 3, 30);
    const n = whole.gather(64, 64, 128, 128);
    const { mean, sd } = whole.middle(n);
    const sums = whole.sumsWithin(n)(40050, 39990, 40110);
    const any = makeTileSampler(plane, 64, 3, 1, 0);
    expect(any.gather(64, 64, 128, 128)).toBe(n);
    const truth = any.middle(n);
    // Straight lines between counts an eighth of the spread apart.
    expect(Math.abs(mean - truth.mean)).toBeLessThan(2);
    expect(Math.abs(sd - truth.sd)).toBeLessThan(4);
    const exact = any.sumsWithin(n)(40050, 39990, 40110);
    expect(sums.n).toBe(exact.n);
    expect(sums.sum).toBe(exact.sum);
    expect(Math.abs(sums.squares / exact.squares - 1)).toBeLessThan(1e-5);
  });

  it('takes a plane off, and keeps to dark surroundings', () => {
    const whole = makeWholeSampler(plane, 64, 3, 30);
    const quiet = whole.gatherQuiet(64, 64, 128, 128, 40048, 0.5, 0.25);
    const core = whole.sumsWithin(quiet)(0, -200, 200);
    expect(core.n).toBe(quiet);
    // Half of some 1400 pixels; mean 0 +- 30 / sqrt(700), sd 30 +- 0.8.
    expect(Math.abs(quiet / (22 * 64) - 0.5)).toBeLessThan(0.08);
    expect(Math.abs(core.sum / core.n)).toBeLessThan(4);
    expect(Math.abs(Math.sqrt(core.squares / core.n) - 30)).toBeLessThan(3);
    const all = whole.gatherResiduals(64, 64, 128, 128, 40048, 0.5, 0.25);
    expect(all).toBe(22 * 64);
  });

  it('counts the green sites only on a mosaic', () => {
    const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
    const bayer = planeOf(128, 128, (x, y) => ((x + y) % 2 === 1 ? 500 : 9000), { mosaic });
    const whole = makeWholeSampler(bayer, 64, 3, 20);
    const n = whole.gather(0, 0, 64, 64);
    expect(n).toBe(22 * 32);
    expect(whole.sumsWithin(n)(500, 0, 65535)).toEqual({ n, sum: 0, squares: 0 });
  });

  it('refuses an even row step', () => {
    expect(() => makeWholeSampler(plane, 64, 2, 30)).toThrow(RangeError);
  });
});
