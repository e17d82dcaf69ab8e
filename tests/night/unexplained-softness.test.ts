import { describe, expect, it } from 'vitest';
import { unexplainedSoftness } from '../../src/night/unexplained-softness.js';
import type { BlurBudget, JudgedFrame } from '../../src/night/types.js';
import { madeJudged } from './made-frames.js';

const budget = (seeing: number | null, focus: number | null): BlurBudget => ({
  unit: 'px',
  seeing,
  focus,
  tilt: 0,
  curvature: 0,
  coma: 0,
  tracking: 0.5,
});
const soft = (file: string, over: Partial<JudgedFrame>): JudgedFrame => ({
  ...madeJudged(
    file,
    {},
    { decision: 'reject', reasons: [{ code: 'fwhm', message: '', value: 1, limit: 1 }] },
  ),
  ...over,
});

describe('unexplainedSoftness', () => {
  it('says that seeing and focus could not be told apart', () => {
    expect(unexplainedSoftness([soft('a', { blur: budget(null, null) }), soft('b', { blur: null })])).toEqual(
      ['Soft without a sure cause: a, b: seeing or focus, which cannot be told apart from these frames.'],
    );
  });

  it('names the larger part where the fit parts them', () => {
    const text = unexplainedSoftness([
      soft('a', { blur: budget(3, 1) }),
      soft('b', { blur: budget(2, 4) }),
      soft('c', { blur: { ...budget(2, 1), tracking: 5 } }),
    ]).join(' ');
    expect(text).toMatch(/a: seeing, most likely.*b: focus, most likely.*c: the mount/);
  });

  it('is silent where a cause accounts for the frame, or it was kept', () => {
    expect(
      unexplainedSoftness([soft('a', { causes: [{ code: 'seeing', confidence: 0.8 }] }), madeJudged('b')]),
    ).toEqual([]);
    const tilted = soft('c', { blur: budget(3, 1), causes: [{ code: 'sensor-tilt', confidence: 0.9 }] });
    expect(unexplainedSoftness([tilted])).toHaveLength(1);
  });
});
