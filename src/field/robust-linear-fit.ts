import { Matrix, inverse } from 'ml-matrix';
import { medianSorted } from 'simple-statistics';

/** Outcome of a robust linear fit: coefficients, their covariance (scaled to the scatter found), and the residual scale. */
export interface LinearFit {
  readonly coefficients: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Robust scatter of the residuals in units of the errors given (1 = as expected). */
  readonly scatter: number;
  readonly count: number;
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
  const robust = new Float64Array(count).fill(1);
  let coefficients: number[] = [];
  let covariance: number[][] = [];
  let scatter = 1;
  for (let round = 0; round < 12; round++) {
    const squares = new Float64Array(width * width);
    const products = new Float64Array(width);
    for (let i = 0; i < count; i++) {
      const row = basis[i]!;
      const weight = robust[i]! / (errors[i]! * errors[i]!);
      for (let a = 0; a < width; a++) {
        products[a]! += weight * row[a]! * values[i]!;
        for (let b = 0; b < width; b++) squares[a * width + b]! += weight * row[a]! * row[b]!;
      }
    }
    const normal = Matrix.from1DArray(width, width, squares);
    const right = Matrix.columnVector(products);
    if (!wellConditioned(normal)) return null;
    const inverted = inverse(normal);
    const next = inverted.mmul(right).to1DArray();
    covariance = inverted.to2DArray();
    const residuals = values.map(
      (value, i) => (value - basis[i]!.reduce((sum, b, k) => sum + b * next[k]!, 0)) / errors[i]!,
    );
    const sorted = residuals.map(Math.abs).sort((a, b) => a - b);
    scatter = (1.4826 * medianSorted(sorted) * Math.sqrt(count)) / Math.sqrt(Math.max(1, count - width));
    const unit = Math.max(scatter, 1e-12);
    let moved = 0;
    for (let i = 0; i < count; i++) {
      const size = Math.abs(residuals[i]!) / unit;
      const weight = size <= HUBER ? 1 : HUBER / size;
      moved = Math.max(moved, Math.abs(weight - robust[i]!));
      robust[i] = weight;
    }
    coefficients = next;
    if (moved < 1e-4) break;
  }
  const inflate = Math.max(1, scatter) ** 2;
  return {
    coefficients,
    covariance: covariance.map((row) => row.map((c) => c * inflate)),
    scatter,
    count,
  };
}

/** Normal equations scaled to unit diagonal must keep their pivots; else the data cannot tell the terms apart. */
function wellConditioned(normal: Matrix): boolean {
  const width = normal.rows;
  const scaled = normal
    .to2DArray()
    .map((row, a) => row.map((v, b) => v / Math.sqrt(normal.get(a, a) * normal.get(b, b))));
  for (let k = 0; k < width; k++) {
    const pivot = scaled[k]![k]!;
    if (!(pivot > 1e-4)) return false;
    for (let a = k + 1; a < width; a++) {
      const factor = scaled[a]![k]! / pivot;
      for (let b = k; b < width; b++) scaled[a]![b]! -= factor * scaled[k]![b]!;
    }
  }
  return true;
}
