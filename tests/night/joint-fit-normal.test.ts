import { describe, expect, it } from 'vitest';
import { ownNumbers, sharedNumbers, type SharedParameters } from '../../src/night/joint-fit-model.js';
import { assembleNormal, fitTask, type FitProblem, type Normal } from '../../src/night/joint-fit-normal.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames, SENSOR_MEANS } from './exact-frames.js';

const shared = { ...NOTHING_SHARED, tx: 1, km: 0.5 };
const owns = [-1, 0, 1].map((focus) => ({ seeing: 1.2, focus, plus: 0, cross: 0 }));
const problem = {
  frames: exactFrames(shared, owns),
  means: SENSOR_MEANS,
  free: ['tx', 'ty', 'km', 'ka'] as const,
  seeingLog: Math.log(1.2),
  seeingSpread: 0.5,
  discPx: 100,
  baseRatio: 1.14,
};

const assemble = (of: FitProblem, at: SharedParameters): Normal =>
  assembleNormal(fitTask(of), sharedNumbers(at), ownNumbers(owns));

describe('assembleNormal', () => {
  it('finds nothing to improve at the truth, and a gradient beside it', () => {
    const there = assemble(problem, shared);
    expect(there.data).toBeCloseTo(0, 10);
    const beside = assemble(problem, { ...shared, tx: 1.2 });
    expect(beside.data).toBeGreaterThan(1);
    expect(beside.b[0]).toBeLessThan(0);
    for (let k = 0; k < 4; k++)
      for (let m = 0; m < 4; m++) expect(beside.A[4 * k + m]).toBe(beside.A[4 * m + k]);
  });

  it('lets one bad cell count linearly only', () => {
    const frames = problem.frames.map((f, k) =>
      k > 0 ? f : { ...f, cells: f.cells.map((c, m) => (m > 0 ? c : { ...c, iso: c.iso + 1 })) },
    );
    // 100 errors off: Huber's square at 3 is 3 (2 * 100 - 3), not 10000.
    expect(assemble({ ...problem, frames }, shared).data).toBeCloseTo(3 * 197, 3);
  });
});
