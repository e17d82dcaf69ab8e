import { describe, expect, it } from 'vitest';
import { faultFrames, faultSchema, faultStrength } from '../../src/simulate/scenario-faults.js';

const cloud = (extra: object): ReturnType<typeof faultSchema.parse> =>
  faultSchema.parse({ kind: 'cloud', transparency: 0.5, ...extra });

describe('faultFrames', () => {
  it('takes a list, a run, an open run, or the whole night', () => {
    expect(faultFrames(cloud({ frames: [7, 2, 40] }), 10)).toEqual([2, 7]);
    expect(faultFrames(cloud({ frames: { from: 3, to: 5 } }), 10)).toEqual([3, 4, 5]);
    expect(faultFrames(cloud({ frames: { from: 9 } }), 10)).toEqual([9, 10]);
    expect(faultFrames(cloud({}), 3)).toEqual([1, 2, 3]);
  });
});

describe('faultStrength', () => {
  it('is steady, grows, or passes', () => {
    const over = (course: string): number[] =>
      [1, 2, 3, 4].map((n) => faultStrength(cloud({ course, frames: { from: 2 } }), n, 4));
    expect(over('steady')).toEqual([0, 1, 1, 1]);
    expect(over('growing')).toEqual([0, 1 / 3, 2 / 3, 1]);
    const passing = over('passing');
    expect(passing[2]).toBeCloseTo(1, 12);
    expect(passing[1]).toBeCloseTo(passing[3], 12);
  });
});
