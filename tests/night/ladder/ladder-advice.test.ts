import { describe, expect, it } from 'vitest';
import { ladderAdvice } from '../../../src/night/ladder/ladder-advice.js';
import type { LadderAssessment, LadderPoint } from '../../../src/night/ladder/index.js';

const ladder = (best: number | null, error: number | null, change: Partial<LadderAssessment> = {}) =>
  ladderAdvice({
    bestSpacingMm: best,
    uncertaintyMm: error,
    evidence: 'sweeps',
    bracketed: true,
    sensitivityMicronPerMm: 60,
    scale: null,
    sweeps: [],
    points: [54, 55, 56].map((spacingMm) => ({ spacingMm }) as LadderPoint),
    ...change,
  } as LadderAssessment).join('\n');

describe('advice after a ladder', () => {
  it('says what to add to the nearest rung, and how to find the spacers', () => {
    const text = ladder(55.3, 0.04);
    expect(text).toContain('add 0.30 mm at 55 mm');
    expect(text).toContain('--measured -0.30');
    expect(text).toContain('--sensitivity 60.0');
  });

  it('says that the sign of the sensitivity hangs on the focuser’s sense, where nobody said it', () => {
    const swept = (signGiven: boolean) =>
      ladder(55.3, 0.04, { sweeps: [{ spacingMm: 55, sweep: { scale: { signGiven } } }] as never });
    expect(swept(false)).toContain('with --inward positive, now or later, it turns round');
    expect(swept(true)).not.toContain('--inward');
  });

  it('keeps a rung that is right within the error', () => {
    expect(ladder(55.04, 0.05)).toContain('Keep 55 mm');
  });

  it('names no single best of rungs that are equal within the errors', () => {
    expect(ladder(55.4, 0.35)).toContain('55 and 56 mm are equal within the errors');
    expect(ladder(55.4, 0.35)).not.toContain('Set the spacing');
    const corners = (errorPx2: number) =>
      [1.4, 0.9, 1.0].map(
        (cornerExcessPx2, i) =>
          ({ spacingMm: 54 + i, cornerExcessPx2, cornerExcessErrorPx2: errorPx2 }) as LadderPoint,
      );
    expect(ladder(null, null, { points: corners(0.1) })).toContain(
      'The corners at 55 and 56 mm are equally soft within the errors',
    );
    expect(ladder(null, null, { points: corners(0.01) })).toContain('55 mm has the least soft corners');
  });

  it('asks for more where the answer is unsure or missing', () => {
    expect(ladder(55.4, 0.4)).toContain('is large');
    expect(ladder(58, 0.1, { bracketed: false })).toContain('extrapolated');
    expect(ladder(null, null)).toContain('focus sweep');
  });
});
