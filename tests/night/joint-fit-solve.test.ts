import { describe, expect, it } from 'vitest';
import { solveJointFit } from '../../src/night/joint-fit-solve.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames, SENSOR_MEANS } from './exact-frames.js';

const truth = { ...NOTHING_SHARED, tx: 1.4, ty: -0.5, km: 0.8, ka: 0.3 };
const owns = [-1.2, -0.4, 0.3, 1.1].map((focus, k) => ({
  seeing: 1.1 + 0.1 * k,
  focus,
  plus: 0.05,
  cross: 0.02,
}));
const problem = {
  frames: exactFrames(truth, owns),
  means: SENSOR_MEANS,
  free: ['tx', 'ty', 'km', 'ka'] as const,
  seeingLog: Math.log(1.2),
  seeingSpread: 5,
  discPx: 1000,
  baseRatio: 1.14,
};

describe('solveJointFit', () => {
  it('goes back to the truth from beside it', () => {
    const found = solveJointFit(
      problem,
      { ...truth, tx: 1, km: 0.4, ka: 0.1 },
      owns.map((o) => ({ ...o, focus: o.focus * 0.7 })),
      60,
    );
    // The priors are wide but there; it stops when a step gains less than 0.02.
    expect(Math.abs(found.shared.tx - 1.4)).toBeLessThan(0.02);
    expect(Math.abs(found.shared.ka - 0.3)).toBeLessThan(0.02);
    found.own.forEach((own, k) => expect(Math.abs(own.focus - owns[k].focus)).toBeLessThan(0.05));
    expect(found.sharedCovariance).toHaveLength(4);
    expect(found.focusError.every((e) => e > 0 && e < 0.2)).toBe(true);
  });

  it('fits the frames alone when nothing shared is free', () => {
    const found = solveJointFit(
      { ...problem, free: [] },
      truth,
      owns.map((o) => ({ ...o, seeing: 1.5 })),
      40,
    );
    expect(found.shared).toEqual(truth);
    found.own.forEach((own, k) => expect(Math.abs(own.seeing - owns[k].seeing)).toBeLessThan(0.01));
  });
});
