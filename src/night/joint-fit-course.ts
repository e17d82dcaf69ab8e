import { robustLinearFit } from '../field/index.js';
import type { FitFrame } from './joint-fit-data.js';

/** What is known beside the pictures about where focus should be in a frame. */
export interface FocusCourse {
  /** Frames of one key share an unknown zero of focus: filter, and the focuser's position where its step size is unknown. */
  readonly key: string;
  /** Place of the sensor, outwards, blur disc in pixels; 0 where the step size is unknown. */
  readonly sensorPx: number;
  /** Temperature, or null. */
  readonly temperatureC: number | null;
  /** Hours since the first frame, or its number where there is no time. */
  readonly order: number;
}

/** Wander of focus that neither temperature nor focuser explains, part of a sharp star's width. */
const WANDER = 0.12;

/**
 * How badly a fitted course of focus follows what is known: surface = focus + sensor should be a straight line in temperature
 * (or in time where there is none), one zero for each key. Sum of squares in errors, for the better of the two signs of focus.
 *
 * 0 with fewer than three frames.
 */
export function courseMisfit(
  frames: readonly FitFrame[],
  focus: readonly number[],
  errors: readonly number[],
  widthPx: number,
): number {
  if (frames.length < 3) return 0;
  return Math.min(misfit(frames, focus, errors, widthPx, 1), misfit(frames, focus, errors, widthPx, -1));
}

function misfit(
  frames: readonly FitFrame[],
  focus: readonly number[],
  errors: readonly number[],
  widthPx: number,
  sign: 1 | -1,
): number {
  const keys = [...new Set(frames.map((frame) => frame.course.key))];
  const warm = frames.every((frame) => frame.course.temperatureC !== null);
  const at = frames.map(({ course }) => (warm ? (course.temperatureC ?? 0) : course.order));
  // Counted from their middle: small changes of a large number are hard to tell from a constant.
  const middle = at.reduce((a, b) => a + b, 0) / at.length;
  const basis = frames.map(({ course }, k) => [
    at[k] - middle,
    ...keys.map((key) => (key === course.key ? 1 : 0)),
  ]);
  const values = frames.map((frame, k) => sign * focus[k] + frame.course.sensorPx);
  const sigma = errors.map((error) => Math.hypot(error, WANDER * widthPx));
  const fit =
    robustLinearFit(basis, values, sigma) ??
    robustLinearFit(
      basis.map((row) => row.slice(1)),
      values,
      sigma,
    );
  if (!fit) return 0;
  const shift = basis[0].length - fit.coefficients.length;
  return values.reduce((sum, value, k) => {
    const predicted = fit.coefficients.reduce((total, c, m) => total + c * basis[k][m + shift], 0);
    // Capped: one frame that a wind gust spoilt must not decide.
    return sum + Math.min(16, ((value - predicted) / sigma[k]) ** 2);
  }, 0);
}
