import { describe, expect, it } from 'vitest';
import {
  comaShare,
  comaSkewness,
  isotropicResponse,
  shapeWitness,
  shearResponse,
  widthRatio,
} from '../../src/night/blur-response.js';

describe('response of adaptive moments to added blur', () => {
  // Values computed from Kolmogorov and disc transfer functions (see the source), open pupil and 35 % obstruction.
  it.each([
    [0.1, 1.1234, 1.1242],
    [0.3, 1.3846, 1.3921],
    [0.5, 1.6604, 1.6805],
    [1, 2.3886, 2.4583],
    [2, 3.9199, 4.1278],
  ])('isotropic at Q = %d', (added, open, obstructed) => {
    const { value } = isotropicResponse(added);
    expect(value).toBeGreaterThan(open * 0.99);
    expect(value).toBeLessThan(obstructed * 1.01);
  });

  it.each([
    // mean added variance, half difference of the answer over half difference of the blur (open, obstructed).
    [0.05, 1.1199, 1.1257],
    [0.35, 1.2275, 1.2671],
    [0.75, 1.3193, 1.3946],
    [1.5, 1.4088, 1.5224],
  ])('shear at Q = %d', (added, open, obstructed) => {
    const { value } = shearResponse(added);
    expect(value).toBeGreaterThan(open * 0.97);
    expect(value).toBeLessThan(obstructed * 1.02);
  });

  it('gives slopes that are the derivatives', () => {
    for (const curve of [isotropicResponse, shearResponse, widthRatio]) {
      for (const q of [0.05, 0.36, 0.8, 1.7]) {
        const step = 1e-5;
        const slope = (curve(q + step).value - curve(q - step).value) / (2 * step);
        expect(curve(q).slope).toBeCloseTo(slope, 6);
      }
    }
  });

  it('holds the width ratio flat beyond its table', () => {
    expect(widthRatio(50)).toEqual({ value: 0.73, slope: 0 });
  });

  it('feels less of a strong coma, and its flare as the cube', () => {
    expect(comaShare(0)).toBe(1);
    // Computed with 200,000 rays: 0.659 at Q = 1.667; third moment 0.0533 at C/sigma = 0.919, 0.1271 at 1.188.
    expect(Math.abs(comaShare(1.667) - 0.659)).toBeLessThan(0.02);
    expect(Math.abs((comaSkewness(0.919).perUnit * 0.919) / 0.0533 - 1)).toBeLessThan(0.1);
    expect(Math.abs((comaSkewness(1.188).perUnit * 1.188) / 0.1271 - 1)).toBeLessThan(0.1);
  });

  it('lets the shape of wingless stars say less about defocus', () => {
    expect(shapeWitness(1.142)).toBeCloseTo(1, 6);
    // Gaussian seeing, computed: the ratio falls to 0.9617 at Q = 0.5 and to 0.9056 at 1, a third to a half as far as Kolmogorov's.
    const witness = shapeWitness(1);
    expect(Math.abs(widthRatio(0.5, witness).value - 0.9617)).toBeLessThan(0.02);
    expect(Math.abs(widthRatio(1, witness).value - 0.9056)).toBeLessThan(0.05);
  });
});
