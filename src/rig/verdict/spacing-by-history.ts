import type { HistorySpacing } from '../../causes/types.js';
import type { OpticalState } from '../../night/types.js';
import { plainNumber } from '../sentences.js';
import type { SpacingSensitivity } from '../types.js';

/** A correction smaller than this is not worth a spacer: shims come in tenths of a millimetre (common practice, no source). */
const LEAST_MM = 0.05;

/**
 * How much to add to the distance from corrector to sensor (negative: to remove), from the night's field curvature and what a millimetre does to it on this rig.
 *
 * Null without a curvature in micrometres whose sign is known, when it is not surely different from zero (two standard errors), or when
 * the correction would be under 0.05 mm.
 */
export function spacingByHistory(
  optics: readonly Pick<OpticalState, 'frames' | 'unit' | 'signsKnown' | 'curvature'>[],
  sensitivity: SpacingSensitivity,
): HistorySpacing | null {
  const state = [...optics].sort((a, b) => b.frames - a.frames)[0];
  if (!state || state.unit !== 'micron' || !state.signsKnown || state.curvature === null) return null;
  const { corner, error } = state.curvature;
  const { micronPerMm } = sensitivity;
  if (Math.abs(corner) < 2 * error || micronPerMm === 0) return null;
  const addMm = -corner / micronPerMm;
  if (Math.abs(addMm) < LEAST_MM) return null;
  const relative = Math.hypot(error / corner, (sensitivity.error ?? 0) / micronPerMm);
  const errorMm = Math.abs(addMm) * relative;
  const source =
    sensitivity.source === 'ladder'
      ? `measured by a ladder of spacings on ${sensitivity.measuredAt.slice(0, 10)}`
      : 'learnt from the spacer changes noted in its history';
  return {
    addMm,
    errorMm,
    sentence:
      `The corners focus ${plainNumber(corner, 0)} µm from the centre, and a millimetre of spacing changes that by ${plainNumber(micronPerMm, 0)} µm on this rig (${source}): ` +
      `${addMm > 0 ? 'add' : 'remove'} ${plainNumber(Math.abs(addMm), 2)} ± ${plainNumber(errorMm, 2)} mm between corrector and sensor. Park and power off first, and support camera and corrector.`,
  };
}
