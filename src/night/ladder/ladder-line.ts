import type { Measured } from '../sweep/index.js';

/** A straight line through measured points, y = intercept + slope (x - middle). */
export interface LadderLine {
  readonly middle: number;
  readonly intercept: number;
  readonly slope: Measured;
  /** Where the line crosses zero, with the error of that place; NaN when the line is level. */
  readonly zero: Measured;
  /** Root of chi-square over degrees of freedom; null with two points. */
  readonly chi: number | null;
}

/**
 * Weighted straight line and its zero crossing.
 *
 * Errors are those given, scaled up (never down) by the scatter about the line when there are more than two points. The error of the
 * crossing is the delta method's, with the intercept at the weighted mean of x, where it does not correlate with the slope.
 *
 * @returns null with fewer than two different x
 */
export function ladderLine(
  points: readonly { readonly x: number; readonly y: number; readonly error: number }[],
): LadderLine | null {
  let [sw, swx] = [0, 0];
  for (const { x, error } of points) {
    sw += 1 / error ** 2;
    swx += x / error ** 2;
  }
  const middle = swx / sw;
  let [sxx, sxy, sy] = [0, 0, 0];
  for (const { x, y, error } of points) {
    const weight = 1 / error ** 2;
    sxx += weight * (x - middle) ** 2;
    sxy += weight * (x - middle) * y;
    sy += weight * y;
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  const intercept = sy / sw;
  const squares = points.reduce(
    (sum, { x, y, error }) => sum + ((y - intercept - slope * (x - middle)) / error) ** 2,
    0,
  );
  const chi = points.length > 2 ? Math.sqrt(squares / (points.length - 2)) : null;
  const scatter = Math.max(1, chi ?? 1);
  const slopeError = scatter / Math.sqrt(sxx);
  const interceptError = scatter / Math.sqrt(sw);
  const away = -intercept / slope;
  return {
    middle,
    intercept,
    slope: { value: slope, error: slopeError },
    zero: {
      value: middle + away,
      error: Math.hypot(interceptError, away * slopeError) / Math.abs(slope),
    },
    chi,
  };
}
