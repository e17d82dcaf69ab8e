import { describe, expect, it } from 'vitest';
import { choosePixels, type ChosenPixels } from '../../src/stars/chosen-pixels.js';
import { fitMoffat, type MoffatFit } from '../../src/stars/moffat-fit.js';
import { pixelNodes } from '../../src/stars/moffat-profile.js';
import { weightedShape } from '../../src/stars/weighted-shape.js';
import { kolmogorov, stretched } from '../scenes/profiles.js';
import { seededRandom } from '../scenes/random.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const image = makeStarImage(stretched(kolmogorov(3), 1.2, 30), 20, 8);
const nodes = pixelNodes(2);
const noise = 10;
const options = { noise, pedestalError: 0, nodes, photonFactor: 1 };
const start = { x: 16, y: 16, shape: { a: 0.44, b: 0, c: 0.44, gamma: 0.17 } };

/** A star of 30,000 electrons over that noise, its photons counted; its fit, and its pixels out to 1.4 widths. */
function brightStar(seed: number): { fit: MoffatFit; pixels: ChosenPixels } {
  const window = windowOf(image, { flux: 3e4, noise, seed, dx: 0.2, dy: -0.3 });
  const light = windowOf(image, { flux: 3e4, dx: 0.2, dy: -0.3 }).values.slice();
  const again = windowOf(image, { flux: 3e4, noise, seed, dx: 0.2, dy: -0.3 });
  const random = seededRandom(seed + 5000);
  for (let k = 0; k < window.width * window.height; k += 1)
    again.values[k] += Math.sqrt(light[k]) * random.normal();
  const fit = fitMoffat(choosePixels(again, 16.2, 15.7, 3.5, 0), start, options);
  if (fit === null) throw new Error('no fit');
  return { fit, pixels: choosePixels(again, fit.x, fit.y, 4.5, 0) };
}

describe('shape by noise-weighted pixels', () => {
  it('knows the axis better than the fit, without bias, and states its error', () => {
    const turn = (2 * 30 * Math.PI) / 180;
    const across = (e1: number, e2: number): number => e2 * Math.cos(turn) - e1 * Math.sin(turn);
    const weighted: number[] = [];
    const fitted: number[] = [];
    let stated = 0;
    for (let seed = 1; seed <= 200; seed += 1) {
      const { fit, pixels } = brightStar(seed);
      const shape = weightedShape(pixels, fit, options)!;
      weighted.push(across(shape.e1, shape.e2));
      stated += shape.error ** 2 / 200;
      const { a, b, c } = fit.shape;
      fitted.push(across((c - a) / (a + c), (-2 * b) / (a + c)));
    }
    const square = (v: readonly number[]): number => v.reduce((s, x) => s + x * x, 0) / v.length;
    const mean = weighted.reduce((s, x) => s + x, 0) / weighted.length;
    // 200 draws know a variance to 10 % and a mean to 1 / sqrt(200) of the scatter: three times that.
    expect(Math.abs(square(weighted) / stated - 1)).toBeLessThan(0.3);
    expect(Math.abs(mean)).toBeLessThan(3 * Math.sqrt(stated / 200));
    expect(square(weighted) / square(fitted)).toBeLessThan(0.8);
  });

  it('counts an unsure sky into the error', () => {
    const { fit, pixels } = brightStar(1);
    const sure = weightedShape(pixels, fit, options)!;
    const unsure = weightedShape(pixels, fit, { ...options, pedestalError: 200 })!;
    expect(unsure.error).toBeGreaterThan(1.02 * sure.error);
    expect(unsure.e1).toBe(sure.e1);
  });

  it('is null with hardly more pixels than parameters, or no star to start from', () => {
    const { fit } = brightStar(1);
    const few = choosePixels(windowOf(image), 16, 16, 1.5, 0);
    expect(few.count).toBeLessThan(11);
    expect(weightedShape(few, fit, options)).toBeNull();
    const { pixels } = brightStar(1);
    expect(weightedShape(pixels, { ...fit, peak: -5 }, options)).toBeNull();
    expect(weightedShape(pixels, { ...fit, shape: { ...fit.shape, gamma: 2 } }, options)).toBeNull();
  });
});
