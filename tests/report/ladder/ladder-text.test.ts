import { describe, expect, it } from 'vitest';
import type { LadderAssessment } from '../../../src/night/ladder/index.js';
import { ladderText } from '../../../src/report/ladder/ladder-text.js';

const point = (spacingMm: number, curvatureMicron: number | null) => ({
  spacingMm,
  frames: 7,
  evidence: curvatureMicron === null ? ('single-frames' as const) : ('sweep' as const),
  curvatureMicron,
  curvatureErrorMicron: curvatureMicron === null ? null : 1.2,
  astigmatismMicron: null,
  tiltSpanMicron: 12,
  cornerExcessPx2: 0.5,
  cornerExcessErrorPx2: 0.1,
  focalLengthMm: 750,
  offLineMicron: null,
  why: curvatureMicron === null ? 'too few positions' : null,
});

const ladder: LadderAssessment = {
  schema: 'starassay/ladder@1',
  version: '0.0.0',
  bestSpacingMm: 55.21,
  uncertaintyMm: 0.04,
  evidence: 'sweeps',
  bracketed: true,
  sensitivityMicronPerMm: 59,
  sensitivityErrorMicronPerMm: 1,
  surfaceRatio: { value: 3, error: 0.1 },
  lineChi: 3.2,
  points: [point(54, -70.5), point(55, null), point(56, 48)],
  predictions: [
    { spacingMm: 55.21, cornerMicron: 0, cornerFwhmPx: 2.5, cornerFwhmArcsec: null, centreFwhmPx: 2.4 },
  ],
  scale: {
    source: 'wcs',
    percentPerMm: { value: -0.455, error: 0.002 },
    remainderMm: { value: 220, error: 1 },
    distanceMm: { value: 55.2, error: 1 },
    factor: 0.8,
    distanceFromFactorMm: 55.1,
    oddLabels: [{ spacingMm: 56, differenceMm: 0.3 }],
    verdict: 'disagrees',
    words: 'the scale does not go with every label',
  },
  sweeps: [],
  warnings: [],
  advice: ['Set the spacing.'],
};

describe('a ladder as text', () => {
  const text = ladderText(ladder);

  it('lists the rungs with curvature and error, and the best spacing with its own', () => {
    expect(text).toContain('−70.5 ± 1.2 µm');
    expect(text).toContain('Best spacing: 55.21 ± 0.04 mm (medial curvature crosses zero)');
    expect(text).toContain('+59.0 ± 1.0 µm of corner curvature per mm');
  });

  it('says why a rung is no sweep, and when rungs scatter', () => {
    expect(text).toContain('55 mm: no sweep, too few positions');
    expect(text).toContain('scatter 3.2 times');
  });

  it('lets the scale have its word', () => {
    expect(text).toContain('DISAGREES: the scale does not go with every label');
    expect(text).toContain('the rung labelled 56 mm looks +0.30 mm off');
    expect(ladderText({ ...ladder, scale: null })).toContain('no witness');
  });

  it('says that nothing can be told', () => {
    expect(ladderText({ ...ladder, bestSpacingMm: null })).toContain('cannot be told');
  });
});
