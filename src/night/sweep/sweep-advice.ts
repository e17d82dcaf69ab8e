import { RIG_CAUTIONS } from '../../optics/index.js';
import type { SweepAssessment } from './types.js';

/** A tilt that takes up more than this part of the focus zone is worth mending where the field as a whole leaves the zone. */
const MUCH_OF_ZONE = 0.5;

/** A verdict on the spacing below this confidence says what to check, not what to do. */
const ENOUGH_TO_ACT = 0.6;

/** A wrong guess of the focuser's sense doubles a tilt that is to be mended. */
const SENSE_ASSUMED =
  'The side takes larger focuser counts as outwards (nobody said so): make sure before you shim or turn anything; if yours run the other way, say --inward positive, and it is the opposite side.';

/**
 * What to do about a sweep's findings, in plain sentences, the most important first; cautions last where the rig is to be touched.
 */
export function sweepAdvice(sweep: Omit<SweepAssessment, 'advice'>): string[] {
  const advice: string[] = [];
  const { bestFocus, tilt, curvature, focusZone, spacing, scale } = sweep;
  const half = focusZone === null ? null : focusZone.totalMicron / 2;
  const last = sweep.frames.at(-1)!;

  if (bestFocus.bracketed === 'no') {
    const out = bestFocus.centreMicron > last.outwardMicron;
    const step = out === (scale.larger === 'outwards') ? 'larger' : 'smaller';
    advice.push(
      `The sweep does not bracket focus: best focus lies ${out ? 'outside' : 'inside'} of all frames, near step ${bestFocus.centreStep.toFixed(0)}. Sweep again with ${step} positions, so that stars grow on both sides; figures from one side only are not to be trusted.`,
    );
    return advice;
  }
  if (bestFocus.bracketed === 'centre-only') {
    advice.push(
      'The centre is bracketed, a corner is not: a longer sweep would make tilt and curvature surer.',
    );
  }
  const outside = sweep.frames.filter((f) => f.outwardMicron > bestFocus.centreMicron).length;
  const onFewer = Math.min(outside, sweep.frames.length - outside);
  if (onFewer < 2) {
    const more = (outside === onFewer) === (scale.larger === 'outwards') ? 'larger' : 'smaller';
    advice.push(
      `Only ${onFewer === 1 ? 'one frame lies' : 'no frame lies'} on the ${outside === onFewer ? 'outer' : 'inner'} side of best focus: the figures lean on the other side alone. A sweep with two or three ${more} positions would make them sure.`,
    );
  }
  advice.push(
    `Focus at step ${bestFocus.centreStep.toFixed(0)} for the centre${
      Math.abs(bestFocus.fieldStep - bestFocus.centreStep) > 1
        ? `, at step ${bestFocus.fieldStep.toFixed(0)} for the best compromise over the field`
        : ''
    }.`,
  );
  let touch = false;
  const share = half === null ? null : tilt.spanMicron / 2 / half;
  if (tilt.significant && (share === null || share > 1 || (share > MUCH_OF_ZONE && sweep.flat === false))) {
    touch = true;
    advice.push(
      `Tilt: best focus lies farther out towards ${tilt.directionDeg.toFixed(0)}° (counter-clockwise from +x, y up): ${tilt.spanMicron.toFixed(0)} µm from corner to corner. Move the sensor's side there away from the telescope, or the opposite side towards it.`,
    );
    advice.push(...remedies(sweep));
    if (!scale.signGiven) advice.push(SENSE_ASSUMED);
  } else if (tilt.significant) {
    advice.push(
      `There is a tilt of ${tilt.spanMicron.toFixed(0)} µm, inside the critical focus zone: it may stay.`,
      ...remedies(sweep),
    );
    if (!scale.signGiven) advice.push(SENSE_ASSUMED);
  } else {
    advice.push('No tilt stands out from the errors.');
  }
  const reads = spacing.verdict === 'short' || spacing.verdict === 'long';
  if (reads && spacing.errorMm === null && spacing.confidence < ENOUGH_TO_ACT) {
    advice.push(
      `Spacing: the corners focus ${Math.abs(curvature.cornerMicron).toFixed(0)} ± ${curvature.errorMicron.toFixed(0)} µm ${curvature.cornerMicron < 0 ? 'nearer to the optics' : 'farther out'} than the centre, but the signs of its sense disagree (${spacing.verdict} with ${Math.round(100 * spacing.confidence)} %): check before you change anything for good. Sweep once more with the spacing 0.5 to 1 mm longer or shorter; the curvature tells which way is right (starassay ladder).`,
    );
  } else if (reads) {
    touch = true;
    const what = spacing.verdict === 'short' ? 'add' : 'take out';
    advice.push(
      spacing.errorMm === null
        ? `Spacing reads ${spacing.verdict} (${Math.round(100 * spacing.confidence)} %): ${what} 0.5 to 1 mm between corrector and sensor and sweep again; two spacings give the exact value (starassay ladder).`
        : `Spacing is ${spacing.verdict}: ${what} ${Math.abs(spacing.errorMm).toFixed(2)} ± ${spacing.errorMmError!.toFixed(2)} mm between corrector and sensor (starassay train --measured ${spacing.errorMm.toFixed(2)}).`,
    );
  } else if (spacing.verdict === 'right') {
    advice.push('Spacing: the field is flat within the critical focus zone, leave it.');
  }
  if (curvature.significant && sweep.flat === false && spacing.verdict === 'cannot-tell') {
    advice.push('The field is curved but the spacing cannot be judged from it.');
  }
  if (touch) advice.push(RIG_CAUTIONS);
  return advice;
}

/** Shim and screw turns, where the user gave what they rest on. */
function remedies(sweep: Pick<SweepAssessment, 'shim' | 'screws'>): string[] {
  const lines: string[] = [];
  if (sweep.shim !== null) {
    lines.push(
      `A shim of ${(sweep.shim.thicknessMicron / 1000).toFixed(3)} mm on the ${sweep.shim.directionDeg.toFixed(0)}° side of a flange of ${sweep.shim.flangeMm} mm, between telescope and camera, undoes it.`,
    );
  }
  if (sweep.screws !== null) {
    const turns = sweep.screws.map(
      (screw) =>
        `${screw.directionDeg.toFixed(0)}°: ${Math.abs(screw.turns).toFixed(2)} turns ${screw.turns >= 0 ? 'wider' : 'closer'}`,
    );
    lines.push(`By the tilt plate, screw at ${turns.join('; ')}. Sweep again afterwards.`);
  }
  return lines;
}
