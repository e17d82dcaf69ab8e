import { describe, expect, it } from 'vitest';
import { judgeSpacing } from '../../../src/night/sweep/spacing-verdict.js';

const judge = (
  medial: number,
  astigmatism: number,
  change: Partial<Parameters<typeof judgeSpacing>[0]> = {},
) =>
  judgeSpacing({
    medial: { value: medial, error: 2 },
    astigmatism: { value: astigmatism, error: 2 },
    zoneMicron: 67,
    sensitivityMicronPerMm: null,
    signGiven: true,
    ...change,
  });

describe('spacing from the medial surface', () => {
  it('is right inside half the focus zone', () => {
    expect(judge(20, 0).verdict).toBe('right');
  });

  it('cannot be told when the curvature does not stand out', () => {
    expect(judge(8, 0, { medial: { value: 40, error: 30 } }).verdict).toBe('cannot-tell');
  });

  it('follows from the rig’s own sensitivity, whatever its sign', () => {
    expect(judge(-60, 0, { sensitivityMicronPerMm: 60 })).toMatchObject({ verdict: 'short', errorMm: -1 });
    expect(judge(-60, 0, { sensitivityMicronPerMm: -60 })).toMatchObject({ verdict: 'long', errorMm: 1 });
  });

  it('is read in the usual sense without it, and the rule of thumb raises or lowers the confidence', () => {
    expect(judge(-60, 0)).toMatchObject({ verdict: 'short', confidence: 0.7 });
    expect(judge(-60, -50)).toMatchObject({ verdict: 'short', confidence: 0.8 });
    expect(judge(-60, 20)).toMatchObject({ verdict: 'short', confidence: 0.5 });
  });

  it('does not ask the rule of thumb where the surfaces stand three to one', () => {
    const verdict = judge(-60, -30);
    expect(verdict.confidence).toBe(0.7);
    expect(verdict.reasoning.join(' ')).toContain('three to one');
  });

  it('says which way it took the focuser to run when nobody said', () => {
    expect(judge(-60, 0, { signGiven: false }).reasoning.join(' ')).toContain('--inward positive');
  });
});
