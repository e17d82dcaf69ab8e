import { Matrix, inverse } from 'ml-matrix';
import type { Measured } from '../sweep/index.js';

/** A parabola through points: its lowest place, and its height anywhere. */
export interface Parabola {
  readonly lowest: Measured;
  readonly at: (x: number) => number;
}

/** Scatter about the curve counts as if so many further points had scattered by their errors: one or two alone know it badly. */
const EXPECTED = 1;

/**
 * Weighted parabola with its lowest place, and the error of that (delta method, scaled up to the scatter about the curve).
 *
 * @returns null with fewer than three different x, or when the parabola is not open upwards by more than two errors
 */
export function parabolaThrough(
  points: readonly { readonly x: number; readonly y: number; readonly error: number }[],
): Parabola | null {
  if (new Set(points.map((p) => p.x)).size < 3) return null;
  const middle = points.reduce((sum, p) => sum + p.x, 0) / points.length;
  const unit = Math.max(...points.map((p) => Math.abs(p.x - middle)));
  const rows = points.map((p) => {
    const t = (p.x - middle) / unit;
    return [1 / p.error, t / p.error, (t * t) / p.error];
  });
  const design = new Matrix(rows);
  const right = Matrix.columnVector(points.map((p) => p.y / p.error));
  const covariance = inverse(design.transpose().mmul(design));
  const [c0, c1, c2] = covariance.mmul(design.transpose()).mmul(right).to1DArray() as [
    number,
    number,
    number,
  ];
  const misses = points.map((p) => {
    const t = (p.x - middle) / unit;
    return (p.y - c0 - c1 * t - c2 * t * t) / p.error;
  });
  const freedom = points.length - 3;
  const squares = misses.reduce((sum, m) => sum + m * m, 0);
  const scatter = Math.max(1, (squares + EXPECTED) / (freedom + EXPECTED));
  const bendError = Math.sqrt(covariance.get(2, 2) * scatter);
  if (!(c2 > 2 * bendError)) return null;
  const lowest = -c1 / (2 * c2);
  const [d1, d2] = [-1 / (2 * c2), c1 / (2 * c2 * c2)];
  const variance =
    scatter *
    (d1 * d1 * covariance.get(1, 1) + 2 * d1 * d2 * covariance.get(1, 2) + d2 * d2 * covariance.get(2, 2));
  return {
    lowest: { value: middle + unit * lowest, error: unit * Math.sqrt(variance) },
    at: (x) => {
      const t = (x - middle) / unit;
      return c0 + c1 * t + c2 * t * t;
    },
  };
}
