import { describe, expect, it } from 'vitest';
import { defaultSweepOptions } from '../../../src/night/sweep/index.js';
import { starResponse } from '../../../src/night/sweep/star-response.js';
import { sweepData } from '../../../src/night/sweep/sweep-data.js';
import { errorAt, fitSweep } from '../../../src/night/sweep/sweep-fit.js';
import { sweepFrames } from './sweep-fixture.js';

const optics = { tilt: { spanMicron: 40, directionDeg: 60 }, curvatureMicron: -45, astigmatismMicron: 15 };
const data = sweepData(sweepFrames({ optics }), defaultSweepOptions);

describe('the joint fit of a sweep of traced rays', () => {
  const fit = fitSweep(data.frames, starResponse(0), 1 / (5 * 3.76));

  it('finds tangential and sagittal surface within 5 % or 3 um', () => {
    expect(Math.abs(fit.shared[3]! + 30)).toBeLessThan(3);
    expect(Math.abs(fit.shared[4]! + 60)).toBeLessThan(3.5);
    expect(errorAt(fit.covariance, 3)).toBeLessThan(4);
  });

  it('explains sizes and shapes and tells the frames’ seeing apart', () => {
    expect(fit.explainedVariance).toBeGreaterThan(0.99);
    expect(fit.seeingSpread).toBeGreaterThan(0.1);
    expect(fit.growth.agrees).toBe(true);
  });

  it('finds the growth of the discs without a focal ratio', () => {
    const free = fitSweep(data.frames, starResponse(0), null);
    expect(free.growth.agrees).toBeNull();
    expect(Math.abs(free.growth.value * 5 * 3.76 - 1)).toBeLessThan(4 * free.growth.relativeError + 0.03);
  });

  it('notices a focal ratio that does not belong to the stars', () => {
    expect(fitSweep(data.frames, starResponse(0), 1 / (8 * 3.76)).growth.agrees).toBe(false);
  });
});
