import { describe, expect, it } from 'vitest';
import { measureHalfFlux } from '../../src/stars/half-flux.js';
import { gaussian, kolmogorov } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const base = {
  pedestal: 0,
  pedestalError: 0,
  totalOverReach: 1,
  skyLevelPerFlux: 0,
  photonFactor: 0,
  isMosaic: false,
};

describe('half-flux diameter of one star', () => {
  it('counts light beyond the aperture through the mean star', () => {
    const image = makeStarImage(kolmogorov(4), 60, 6);
    const window = windowOf(image, { flux: 1000, radius: 20 });
    const reachPx = 6;
    const inside = measureHalfFlux(window, 20, 20, { ...base, reachPx }).totalFlux / 1000;
    expect(inside).toBeLessThan(0.97);
    const half = measureHalfFlux(window, 20, 20, { ...base, reachPx, totalOverReach: 1 / inside });
    expect(Math.abs(half.totalFlux / 1000 - 1)).toBeLessThan(0.001);
    expect(Math.abs(half.diameter / image.truth.hfd - 1)).toBeLessThan(0.01);
  });

  it('tells by how much it grows with the total flux', () => {
    const window = windowOf(makeStarImage(kolmogorov(4), 60, 6), { flux: 1000, radius: 20 });
    const at = (totalOverReach: number) =>
      measureHalfFlux(window, 20, 20, { ...base, reachPx: 6, totalOverReach });
    const moved = (at(1.07).diameter / at(1.05).diameter - 1) / (1.07 / 1.05 - 1);
    // A parabola's worth beside the slope between two circles.
    expect(Math.abs(at(1.06).perTotal / moved - 1)).toBeLessThan(0.04);
  });

  it('states an error that the scatter over noise confirms', () => {
    const image = makeStarImage(gaussian(3), 14, 8);
    const sizes: number[] = [];
    let stated = 0;
    for (let seed = 1; seed <= 200; seed += 1) {
      const half = measureHalfFlux(windowOf(image, { noise: 10, seed }), 16, 16, { ...base, reachPx: 5 });
      sizes.push(half.diameter);
      stated += half.error / 200;
    }
    const mean = sizes.reduce((a, b) => a + b, 0) / 200;
    const sd = Math.sqrt(sizes.reduce((a, b) => a + (b - mean) ** 2, 0) / 199);
    // 200 draws know an sd to 5 %; the formula is first order.
    expect(sd / stated).toBeGreaterThan(0.75);
    expect(sd / stated).toBeLessThan(1.3);
  });

  it('is NaN where there is no light', () => {
    const window = windowOf(makeStarImage(gaussian(3), 14, 8), { flux: -1000 });
    expect(measureHalfFlux(window, 16, 16, { ...base, reachPx: 5 }).diameter).toBeNaN();
  });

  it('gives the same total flux alone', () => {
    const window = windowOf(makeStarImage(gaussian(3), 14, 8), { noise: 10, seed: 2 });
    const whole = measureHalfFlux(window, 16, 16, { ...base, reachPx: 5 });
    const alone = measureHalfFlux(window, 16, 16, { ...base, reachPx: 5, isFluxOnly: true });
    expect(alone.diameter).toBeNaN();
    expect(Math.abs(alone.totalFlux / whole.totalFlux - 1)).toBeLessThan(1e-5);
  });
});
