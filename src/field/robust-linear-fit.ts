import { choleskyInPlace, choleskyInverse, medianInPlace } from '../stats/index.js';

/** Outcome of a robust linear fit: coefficients, their covariance (scaled to the scatter found), and the residual scale. */
export interface LinearFit {
  readonly coefficients: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Robust scatter of the residuals in units of the errors given (1 = as expected). */
  readonly scatter: number;
  readonly count: number;
}

/** Data that scatter less than their errors say shrink them to no less than this part: few of them may lie together by chance. */
const LEAST_SCATTER = 0.5;

/**
 * Standard error of coefficient k by the scatter that the data show, below the errors given too: for a figure that is told with its error, where
 * the errors given hold a floor for what single data may hide.
 */
export function scatteredError(fit: LinearFit, k: number): number {
  return Math.sqrt(fit.covariance[k]![k]!) * Math.min(1, Math.max(LEAST_SCATTER, fit.scatter));
}

/** Huber's constant for 95 % efficiency on Gaussian errors (Huber & Ronchetti, Robust Statistics, 2nd ed., section 7.8). */
const HUBER = 1.345;

/**
 * Weighted linear least squares with Huber weights: value = sum of coefficient[k] * basis[k].
 *
 * @param basis one row per datum, each of the same length; @param values data; @param errors standard error of each datum (> 0).
 * Returns null when there are fewer data than coefficients + 1 or the basis is degenerate (for example all stars in one spot).
 * Source: Huber & Ronchetti (2009), iteratively reweighted least squares. Covariance is scaled up, never down, to the scatter found.
 */
export function robustLinearFit(
  basis: readonly (readonly number[])[],
  values: readonly number[],
  errors: readonly number[],
): LinearFit | null {
  const count = values.length;
  const width = basis[0]?.length ?? 0;
  if (width === 0 || count < width + 1) return null;
  const design = new Float64Array(count * width);
  const target = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    for (let a = 0; a < width; a++) design[i * width + a] = basis[i]![a]! / errors[i]!;
    target[i] = values[i]! / errors[i]!;
  }
  const robust = new Float64Array(count).fill(1);
  const sizes = new Float64Array(count);
  const ranked = new Float64Array(count);
  const squares = new Float64Array(width * width);
  const products = new Float64Array(width);
  const coefficients = new Float64Array(width);
  let covariance: Float64Array = squares;
  let scatter = 1;
  for (let round = 0; round < 12; round++) {
    squares.fill(0);
    products.fill(0);
    for (let i = 0; i < count; i++) {
      for (let a = 0; a < width; a++) {
        const weighted = robust[i]! * design[i * width + a]!;
        products[a]! += weighted * target[i]!;
        for (let b = 0; b <= a; b++) squares[a * width + b]! += weighted * design[i * width + b]!;
      }
    }
    const inverted = inverseIfWellConditioned(squares, width);
    if (inverted === null) return null;
    covariance = inverted;
    for (let a = 0; a < width; a++) {
      let sum = 0;
      for (let b = 0; b < width; b++) sum += inverted[a * width + b]! * products[b]!;
      coefficients[a] = sum;
    }
    for (let i = 0; i < count; i++) {
      let residual = target[i]!;
      for (let a = 0; a < width; a++) residual -= design[i * width + a]! * coefficients[a]!;
      sizes[i] = Math.abs(residual);
    }
    ranked.set(sizes);
    scatter = (1.4826 * medianInPlace(ranked) * Math.sqrt(count)) / Math.sqrt(Math.max(1, count - width));
    const unit = Math.max(scatter, 1e-12);
    let moved = 0;
    for (let i = 0; i < count; i++) {
      const size = sizes[i]! / unit;
      const weight = size <= HUBER ? 1 : HUBER / size;
      moved = Math.max(moved, Math.abs(weight - robust[i]!));
      robust[i] = weight;
    }
    if (moved < 1e-4) break;
  }
  const inflate = Math.max(1, scatter) ** 2;
  return {
    coefficients: Array.from(coefficients),
    covariance: Array.from(coefficients, (_, a) =>
      Array.from(covariance.subarray(a * width, (a + 1) * width), (c) => c * inflate),
    ),
    scatter,
    count,
  };
}

/**
 * Inverse of normal equations (row-major, lower half read); null unless, scaled to unit diagonal, they keep their pivots: else the data cannot tell
 * the terms apart.
 */
function inverseIfWellConditioned(normal: Float64Array, width: number): Float64Array | null {
  const root = Float64Array.from({ length: width }, (_, a) => Math.sqrt(normal[a * width + a]!));
  const scaled = normal.map((v, k) => v / (root[Math.floor(k / width)]! * root[k % width]!));
  if (!choleskyInPlace(scaled, width)) return null;
  // The factor's diagonal holds the square roots of the pivots.
  for (let a = 0; a < width; a++) if (!(scaled[a * width + a]! ** 2 > 1e-4)) return null;
  return choleskyInverse(scaled, width).map((v, k) => v / (root[Math.floor(k / width)]! * root[k % width]!));
}
