import type { LadderAssessment } from '../../../src/night/ladder/index.js';

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

/** A ladder record with round figures, for drawing. */
export const madeLadder: LadderAssessment = {
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
    { spacingMm: 54, cornerMicron: -70, cornerFwhmPx: 2.7, cornerFwhmArcsec: null, centreFwhmPx: 2.4 },
    { spacingMm: 55.21, cornerMicron: 0, cornerFwhmPx: 2.5, cornerFwhmArcsec: null, centreFwhmPx: 2.4 },
  ],
  cornerCurve: [53, 54, 55, 56, 57].map((spacingMm) => ({
    spacingMm,
    cornerFwhmPx: Math.hypot(2.4, spacingMm - 55.21),
  })),
  line: { atMm: 55, curvatureMicron: -12, micronPerMm: 59 },
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
