import { RIG_CAUTIONS } from '../../optics/index.js';
import type { LadderAssessment } from './types.js';

/** A best spacing less sure than this, mm, asks for more rungs. */
const SURE_MM = 0.25;

/** What to do after a ladder, in plain sentences; the cautions last. */
export function ladderAdvice(ladder: Omit<LadderAssessment, 'advice'>): string[] {
  const { bestSpacingMm: best, uncertaintyMm: error, points, evidence } = ladder;
  if (best === null || error === null) {
    return [
      'The ladder does not give a best spacing yet: take a focus sweep (7 to 11 positions) at two or more spacings at least 1 mm apart.',
    ];
  }
  const advice: string[] = [];
  const nearest = points.reduce((a, b) =>
    Math.abs(b.spacingMm - best) < Math.abs(a.spacingMm - best) ? b : a,
  );
  const change = best - nearest.spacingMm;
  advice.push(
    Math.abs(change) <= Math.max(0.05, error)
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
      `From now on one sweep gives the spacing error of this rig: starassay sweep PATH --sensitivity ${ladder.sensitivityMicronPerMm.toFixed(1)}.`,
    );
  }
  advice.push(RIG_CAUTIONS);
  return advice;
}
