import { describe, expect, it } from 'vitest';
import { airShape, exponentOf } from '../../../src/night/sweep/air-shape.js';
import type { SweepFit } from '../../../src/night/sweep/sweep-fit.js';
import type { SweepFrame } from '../../../src/night/sweep/types.js';

/** Bessel function J0 by its integral, trapezium rule (exact to rounding for smooth periodic integrands). */
function j0(x: number): number {
  let sum = 0;
  for (let i = 0; i < 64; i += 1) sum += Math.cos(x * Math.sin((Math.PI * (i + 0.5)) / 64));
  return sum / 64;
}

/** Adaptive moment over FWHM^2 of the star with transfer function exp(-k^a): plain quadrature, nothing of the estimator. */
function ratioOf(exponent: number): number {
  const step = 0.004;
  const frequencies = Array.from({ length: 1000 }, (_, i) => (i + 0.5) * step);
  const profile = (radius: number): number =>
    frequencies.reduce((sum, k) => sum + Math.exp(-(k ** exponent)) * j0(2 * Math.PI * k * radius) * k, 0);
  const half = profile(0) / 2;
  let [low, high] = [0.05, 2];
  for (let i = 0; i < 40; i += 1) {
    const middle = (low + high) / 2;
    if (profile(middle) > half) low = middle;
    else high = middle;
  }
  let moment = 0.04;
  for (let i = 0; i < 400; i += 1) {
    let [sum, sumT] = [0, 0];
    for (const k of frequencies) {
      const t2 = 4 * Math.PI ** 2 * moment * k * k;
      const value = Math.exp(-t2 / 2 - k ** exponent) * k;
      sum += value;
      sumT += (value * t2) / 2;
    }
    moment = 2 * moment * (1 - sumT / sum);
  }
  return moment / (2 * low) ** 2;
}

function frame(outward: number, momentOverFwhm2: number, stars: number): SweepFrame {
  const cell = {
    u: 0.1,
    v: 0,
    r2: 0.01,
    iso: 1,
    plus: 0,
    cross: 0,
    isoError: 0.03,
    shearError: 0.03,
    stars: 1,
  };
  return {
    file: 'f',
    positionStep: outward,
    outward,
    stars,
    cells: Array.from({ length: stars }, () => ({ ...cell, momentOverFwhm2 })),
  };
}

/** Flat surfaces, best focus at 0, discs of 0.05 px per unit, stars 2 px wide. */
const fit = (frames: number): SweepFit =>
  ({
    shared: Float64Array.from([0, 0, 0, 0, 0, Math.log(0.05), 0, Math.log(0.8)]),
    own: Array.from({ length: frames }, () => ({ logMoment: Math.log(0.8), plus: 0, cross: 0 })),
  }) as unknown as SweepFit;

describe('shape of the undisturbed stars', () => {
  it.each([1.35, 1.5, 5 / 3, 1.8, 2])(
    'exponent %f comes back from its ratio of moment to width',
    (exponent) => {
      // Straight lines between the table's entries, steps of 0.01.
      expect(Math.abs(exponentOf(ratioOf(exponent)) - exponent)).toBeLessThan(0.02);
    },
  );

  it('is a Gaussian’s at 1/(8 ln 2) and held to the table beyond it', () => {
    expect(exponentOf(1 / (8 * Math.LN2))).toBeCloseTo(2, 1);
    expect(exponentOf(0.1)).toBe(2);
    expect(exponentOf(0.4)).toBe(1.35);
  });

  it('is told by the frames near focus alone', () => {
    const frames = [frame(-100, 0.15, 50), frame(0, 0.21, 20), frame(100, 0.15, 50)];
    const air = airShape(frames, fit(3));
    expect(air.stars).toBe(20);
    expect(air.momentOverFwhm2).toBeCloseTo(0.21, 12);
    expect(air.exponent).toBeCloseTo(1.55, 1);
  });

  it('is taken as Kolmogorov’s with too few stars, or none with a profile fit', () => {
    for (const frames of [[frame(0, 0.21, 5)], [frame(0, NaN, 40)]])
      expect(airShape(frames, fit(1))).toEqual({ momentOverFwhm2: 0.2, exponent: 5 / 3, stars: 0 });
  });
});
