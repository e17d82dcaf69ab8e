import { describe, expect, it } from 'vitest';
import {
  moffatAxes,
  moffatHeight,
  moffatLog,
  pixelNodes,
  widthOnSensor,
} from '../../src/stars/moffat-profile.js';

const point = pixelNodes(1);

describe('Moffat profile', () => {
  it.each([-0.4, 0, 0.1, 0.25, 0.5])('falls to half where q is 1, with 1/beta = %d', (gamma) => {
    expect(moffatLog(1, gamma)).toBeCloseTo(-Math.LN2, 9);
    expect(moffatLog(0, gamma)).toBeCloseTo(0, 12);
  });

  it('is the Gaussian as 1/beta goes to zero, from both sides', () => {
    for (const gamma of [-2e-4, -5e-5, 5e-5, 2e-4])
      expect(moffatLog(2.3, gamma)).toBeCloseTo(-Math.LN2 * 2.3, 3);
  });

  it('equals the usual form (1 + r^2/alpha^2)^-beta', () => {
    const beta = 3;
    const alpha = 2.5;
    const width = 2 * alpha * Math.sqrt(2 ** (1 / beta) - 1);
    const k = 4 / width ** 2;
    const shape = { a: k, b: 0, c: k, gamma: 1 / beta };
    for (const r of [0.5, 2, 6]) {
      expect(moffatHeight(shape, point, r, 0)).toBeCloseTo((1 + (r * r) / alpha ** 2) ** -beta, 12);
    }
  });

  it('ends at a finite radius below zero', () => {
    expect(moffatHeight({ a: 1, b: 0, c: 1, gamma: -0.5 }, point, 9, 0)).toBe(0);
  });

  it('gives axes and angle back', () => {
    // Widths 5 and 3 px, long axis at 30 degrees.
    const angle = Math.PI / 6;
    const [l, s] = [4 / 25, 4 / 9];
    const c2 = Math.cos(angle) ** 2;
    const s2 = Math.sin(angle) ** 2;
    const shape = {
      a: l * c2 + s * s2,
      b: (l - s) * Math.cos(angle) * Math.sin(angle),
      c: l * s2 + s * c2,
      gamma: 0.2,
    };
    const axes = moffatAxes(shape);
    expect(axes.major).toBeCloseTo(5, 9);
    expect(axes.minor).toBeCloseTo(3, 9);
    expect(axes.angle).toBeCloseTo(angle, 9);
    expect(widthOnSensor(shape, point, angle, 5)).toBeCloseTo(5, 4);
  });

  it('grows by the pixel: a Gaussian of 2 px reads as its convolution with the pixel', () => {
    const k = 4 / 4;
    const width = widthOnSensor({ a: k, b: 0, c: k, gamma: 0 }, pixelNodes(4), 0, 2);
    // Convolution of Gaussian sigma 0.8493 with a box of 1, half maximum solved numerically with the error function.
    expect(width).toBeCloseTo(2.1182, 3);
  });

  it('refuses a quadrature it does not have', () => {
    expect(() => pixelNodes(7)).toThrow(RangeError);
  });
});
