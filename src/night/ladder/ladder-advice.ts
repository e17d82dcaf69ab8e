import { RIG_CAUTIONS } from '../../optics/index.js';
import type { LadderAssessment } from './types.js';

/** A best spacing less sure than this, mm, asks for more rungs. */
const SURE_MM = 0.25;

/** Rungs within so many errors of the best spacing, or of each other's corner blur, cannot be told apart. */
const ALIKE_ERRORS = 2;

/** The best spacing is the same either way; the figure for later sweeps is not. */
const SIGN_TAKEN =
  ' Its sign takes larger focuser counts as outwards (nobody said so): with --inward positive, now or later, it turns round, so say --inward in the configuration file before you record it.';

/** What to do after a ladder, in plain sentences; the cautions last. */
export function ladderAdvice(ladder: Omit<LadderAssessment, 'advice'>): string[] {
  const { bestSpacingMm: best, uncertaintyMm: error, points, evidence } = ladder;
  if (best === null || error === null) {
    return [
      ...leastSoftWords(points),
      'The ladder does not give a best spacing yet: take a focus sweep (7 to 11 positions) at two or more spacings at least 1 mm apart.',
    ];
  }
  const advice: string[] = [];
  const nearest = points.reduce((a, b) =>
    Math.abs(b.spacingMm - best) < Math.abs(a.spacingMm - best) ? b : a,
  );
  const change = best - nearest.spacingMm;
  const alike = points.filter((point) => Math.abs(point.spacingMm - best) <= ALIKE_ERRORS * error);
  advice.push(
    alike.length > 1
      ? `${listed(alike)} mm are equal within the errors: keep the one that is mounted.`
      : Math.abs(change) <= Math.max(0.05, error)
        ? `Keep ${nearest.spacingMm} mm: it is the best spacing within the error.`
        : `Set the spacing to ${best.toFixed(2)} mm: ${change > 0 ? 'add' : 'take out'} ${Math.abs(change).toFixed(2)} mm at ${nearest.spacingMm} mm (starassay train my-train.yaml --measured ${(-change).toFixed(2)} finds the spacers).`,
  );
  if (evidence === 'single-frames') {
    advice.push(
      'This rests on how soft the corners of single frames are: focus error and tilt mix in. A sweep at two of the spacings would settle it.',
    );
  }
  if (ladder.bracketed === false) {
    advice.push(
      'The best spacing lies outside the rungs: it is extrapolated. Take a rung beyond it and look again.',
    );
  } else if (error > SURE_MM) {
    advice.push(
      `Its error of ${error.toFixed(2)} mm is large: more frames per sweep, or rungs farther apart.`,
    );
  }
  if (ladder.scale?.verdict === 'disagrees')
    advice.push(`The image scale does not agree: ${ladder.scale.words}.`);
  if (ladder.sensitivityMicronPerMm !== null) {
    advice.push(
      `From now on one sweep gives the spacing error of this rig: starassay sweep PATH --sensitivity ${ladder.sensitivityMicronPerMm.toFixed(1)}.${
        ladder.sweeps.some(({ sweep }) => !sweep.scale.signGiven) ? SIGN_TAKEN : ''
      }`,
    );
  }
  advice.push(RIG_CAUTIONS);
  return advice;
}

/** The rung with the least soft corners, where no curve gives a best spacing; with those that are as good within the errors. */
function leastSoftWords(points: LadderAssessment['points']): string[] {
  const known = points.flatMap(({ spacingMm, cornerExcessPx2: value, cornerExcessErrorPx2: error }) =>
    value === null || error === null ? [] : [{ spacingMm, value, error }],
  );
  if (known.length < 2) return [];
  const least = known.reduce((a, b) => (b.value < a.value ? b : a));
  const alike = known.filter(
    (point) => point.value - least.value <= ALIKE_ERRORS * Math.hypot(point.error, least.error),
  );
  return [
    alike.length > 1
      ? `The corners at ${listed(alike)} mm are equally soft within the errors.`
      : `Of these spacings, ${least.spacingMm} mm has the least soft corners; a better one may lie between or beyond them.`,
  ];
}

function listed(points: readonly { readonly spacingMm: number }[]): string {
  const names = points.map((point) => String(point.spacingMm));
  return `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}
