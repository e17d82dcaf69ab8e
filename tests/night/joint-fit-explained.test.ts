import { describe, expect, it } from 'vitest';
import { explainedVariance } from '../../src/night/joint-fit-explained.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { exactFrames } from './exact-frames.js';

const shared = { ...NOTHING_SHARED, tx: 2, km: 1 };
const owns = [{ seeing: 1.2, focus: 1, plus: 0, cross: 0 }];

describe('explainedVariance', () => {
  it('is one at the truth and near zero for a flat account of a tilted field', () => {
    const frames = exactFrames(shared, owns);
    expect(explainedVariance(frames, shared, owns)).toBeCloseTo(1, 6);
    const flat = [{ seeing: frames[0].meanIso, focus: 0, plus: 0, cross: 0 }];
    expect(explainedVariance(frames, NOTHING_SHARED, flat)).toBeLessThan(0.1);
  });

  it('is one when there is nothing to explain', () => {
    const calm = [{ seeing: 1.2, focus: 0, plus: 0, cross: 0 }];
    expect(explainedVariance(exactFrames(NOTHING_SHARED, calm), NOTHING_SHARED, calm)).toBe(1);
  });
});
