import { median } from 'simple-statistics';
import type { FrameAssessment } from '../../field/types.js';
import { reducerDistanceMm } from '../../optics/index.js';
import { registerFields } from '../register-fields.js';
import { ladderLine } from './ladder-line.js';
import type { LadderOptions, LadderRung, ScaleWitness } from './types.js';

/** Sharpest frames of a rung that are asked for their scale. */
const FRAMES_PER_RUNG = 3;
/** Relative error of a focal length: what a plate solution or a star match of one frame leaves. */
const SCALE_ERROR = 5e-5;
/** A label is odd when the scale puts the rung this far off, in errors and mm. */
const ODD_ERRORS = 4;
const ODD_MM = 0.1;

/**
 * Ask the image scale what the spacing did: with R = 1 - d / f_r the focal length falls in a straight line with the spacing, by
 * 1 / (f_r - d) per mm, so the ladder gives f_r - d without any catalogue (stars matched between the rungs, or a WCS).
 *
 * With the reducer's own focal length that is its distance d; with the bare telescope's focal length and a WCS the factor R gives d a
 * second time; the two are compared. Labels that do not go with the scale are named. Null with fewer than two rungs of known scale.
 *
 * @param bestMm spacing at which the figures are given
 */
export function scaleWitness(
  rungs: readonly LadderRung[],
  options: LadderOptions,
  bestMm: number,
): ScaleWitness | null {
  const sharp = rungs.map((rung) => ({ spacingMm: rung.spacingMm, frames: sharpest(rung.frames) }));
  const solved = sharp.flatMap(({ spacingMm, frames }) => {
    const lengths = frames.flatMap((frame) =>
      frame.scale?.source === 'wcs' && frame.scale.focalLengthMm !== null ? [frame.scale.focalLengthMm] : [],
    );
    return lengths.length > 0 ? [{ spacingMm, length: median(lengths) }] : [];
  });
  const source = solved.length >= 2 && solved.length === rungs.length ? 'wcs' : 'matched-stars';
  const known = source === 'wcs' ? solved : matchedLengths(sharp);
  if (known.length < 2) return null;
  const points = known.map(({ spacingMm, length }) => ({
    x: spacingMm,
    y: length,
    error: SCALE_ERROR * length,
  }));
  const line = ladderLine(points);
  if (line === null) return null;
  const atBest = line.intercept + line.slope.value * (bestMm - line.middle);
  const perMm = line.slope.value / atBest;
  const perMmError = line.slope.error / atBest;
  const clear = Math.abs(perMm) > 3 * perMmError;
  const remainder = { value: -1 / perMm, error: perMmError / perMm ** 2 };
  const { reducerFocalMm, bareFocalMm } = options;
  const distance =
    reducerFocalMm === null || !clear
      ? null
      : { value: reducerFocalMm - remainder.value, error: remainder.error };
  const factor = source === 'wcs' && bareFocalMm !== null ? atBest / bareFocalMm : null;
  const fromFactor =
    factor === null || reducerFocalMm === null ? null : reducerDistanceMm(factor, reducerFocalMm);
  const oddLabels = points
    .map(({ x, y, error }) => ({
      spacingMm: x,
      differenceMm: (y - line.intercept - line.slope.value * (x - line.middle)) / line.slope.value,
      errorMm: error / Math.abs(line.slope.value),
    }))
    .filter(
      ({ differenceMm, errorMm }) =>
        points.length > 2 && Math.abs(differenceMm) > Math.max(ODD_MM, ODD_ERRORS * errorMm),
    )
    .map(({ spacingMm, differenceMm }) => ({ spacingMm, differenceMm }));
  const verdict = judge(clear, remainder.value, distance, fromFactor, oddLabels.length);
  return {
    source,
    percentPerMm: { value: 100 * perMm, error: 100 * perMmError },
    remainderMm: remainder,
    distanceMm: distance,
    factor,
    distanceFromFactorMm: fromFactor,
    oddLabels,
    verdict: verdict.verdict,
    words: verdict.words,
  };
}

function judge(
  clear: boolean,
  remainderMm: number,
  distance: { readonly value: number; readonly error: number } | null,
  fromFactor: number | null,
  odd: number,
): { verdict: ScaleWitness['verdict']; words: string } {
  if (!clear) {
    return {
      verdict: 'too-weak',
      words:
        'the scale hardly changed between the spacings: a flattener without power, too short a ladder, or labels that are not the spacing',
    };
  }
  if (remainderMm < 0) {
    return {
      verdict: 'disagrees',
      words:
        'the image grew with the spacing, which a reducer cannot do: labels the wrong way round, or an extender',
    };
  }
  if (odd > 0) {
    return {
      verdict: 'disagrees',
      words: 'the scale does not go with every label: measure those spacings again',
    };
  }
  if (distance !== null && fromFactor !== null) {
    const apart = Math.abs(distance.value - fromFactor);
    const agrees = apart < Math.max(1, 3 * distance.error);
    return {
      verdict: agrees ? 'agrees' : 'disagrees',
      words: agrees
        ? `two ways to the reducer's distance agree: ${distance.value.toFixed(1)} mm from the change of scale, ${fromFactor.toFixed(1)} mm from the reduction factor (to its principal plane, inside the lens)`
        : `the reducer's distance is ${distance.value.toFixed(1)} mm from the change of scale, but ${fromFactor.toFixed(1)} mm from the reduction factor: one of the focal lengths given is wrong`,
    };
  }
  return { verdict: 'agrees', words: 'the scale falls with the spacing as the labels say' };
}

function sharpest(frames: readonly FrameAssessment[]): readonly FrameAssessment[] {
  return [...frames]
    .filter((frame) => frame.registrationStars.length >= 12 || frame.scale?.source === 'wcs')
    .sort((a, b) => (a.fwhm.px ?? Infinity) - (b.fwhm.px ?? Infinity))
    .slice(0, FRAMES_PER_RUNG);
}

/** Focal lengths relative to the reference frame's, from stars matched between the rungs (same field needed). */
function matchedLengths(
  rungs: readonly { readonly spacingMm: number; readonly frames: readonly FrameAssessment[] }[],
): { spacingMm: number; length: number }[] {
  const spacingOf = new Map<FrameAssessment, number>();
  for (const { spacingMm, frames } of rungs) for (const frame of frames) spacingOf.set(frame, spacingMm);
  const fields = registerFields([...spacingOf.keys()]);
  const rungsIn = (field: (typeof fields)[number]): number =>
    new Set(field.frames.map(({ frame }) => spacingOf.get(frame))).size;
  const best = fields.reduce<(typeof fields)[number] | null>(
    (most, field) => (most === null || rungsIn(field) > rungsIn(most) ? field : most),
    null,
  );
  if (best === null) return [];
  const bySpacing = new Map<number, number[]>();
  for (const { frame, registration } of best.frames) {
    const spacing = spacingOf.get(frame)!;
    // The registration's scale maps the frame on the reference: a longer focal length needs a smaller one.
    bySpacing.set(spacing, [...(bySpacing.get(spacing) ?? []), 1 / registration.scale]);
  }
  return [...bySpacing].map(([spacingMm, lengths]) => ({ spacingMm, length: median(lengths) }));
}
