import { describe, expect, it } from 'vitest';
import { adaptiveShape } from '../../src/simulate/adaptive-shape.js';

const SIDE = 161;

/** Light at a distance of squared radius q (units of the half-width), drawn out to `ratio` along `angle` degrees and moved over `drift` samples along it. */
function image(light: (q: number) => number, fwhm: number, ratio: number, angle: number, drift = 0) {
  const c = Math.cos((angle * Math.PI) / 180);
  const s = Math.sin((angle * Math.PI) / 180);
  const grid = new Float64Array(SIDE * SIDE);
  const steps = drift > 0 ? 60 : 1;
  for (let k = 0; k < grid.length; k += 1) {
    const x = (k % SIDE) - 80;
    const y = Math.floor(k / SIDE) - 80;
    for (let t = 0; t < steps; t += 1) {
      const u = c * x + s * y - ((t + 0.5) / steps - 0.5) * drift;
      const v = c * y - s * x;
      grid[k] += light((4 * ((u * u) / ratio + v * v * ratio)) / fwhm ** 2) / steps;
    }
  }
  return grid;
}
const gaussian = (q: number): number => 2 ** -q;
const moffat = (q: number): number => (1 + (2 ** (1 / 3) - 1) * q) ** -3;

describe('adaptiveShape', () => {
  it('gives an elliptical profile of any kind its own axis ratio and axis', () => {
    for (const light of [gaussian, moffat]) {
      const shape = adaptiveShape(image(light, 18, 1.7, 35), SIDE, 80, 80, 18);
      expect(shape.elongation).toBeCloseTo(1.7, 4);
      expect(shape.angleDeg).toBeCloseTo(35, 4);
      expect(adaptiveShape(image(light, 18, 1, 0), SIDE, 80, 80, 18).elongation).toBeCloseTo(1, 6);
    }
  });

  it('gives a drifting star what a Gaussian fitted to it has', () => {
    // Axis ratios of least-squares Gaussians (scipy) on noise-free stars of 3 px: drift of 3 and 5 px; samples are a sixth of a pixel.
    for (const [light, drift, fitted] of [
      [gaussian, 3, 1.221],
      [gaussian, 5, 1.587],
      [moffat, 3, 1.188],
      [moffat, 5, 1.478],
    ] as const) {
      const seeing = light === gaussian ? Math.sqrt(18 ** 2 + (36 * 8 * Math.LN2) / 12) : 18.6;
      const { elongation } = adaptiveShape(image(light, seeing, 1, 70, 6 * drift), SIDE, 80, 80, 24);
      // The pixel is a wider star here: 0.006 for the Moffat, whose width with it is rounded.
      expect(Math.abs(elongation - fitted)).toBeLessThan(0.008);
    }
  });

  it('looks at a wide image on a coarser grid with the same result', () => {
    const fine = adaptiveShape(image(gaussian, 14, 1.3, 120), SIDE, 80, 80, 5);
    const coarse = adaptiveShape(image(gaussian, 14, 1.3, 120), SIDE, 80, 80, 14);
    expect(coarse.elongation).toBeCloseTo(fine.elongation, 4);
  });

  it('refuses light without a centre', () => {
    expect(() => adaptiveShape(new Float64Array(25), 5, 2, 2, 2)).toThrow(RangeError);
  });
});
