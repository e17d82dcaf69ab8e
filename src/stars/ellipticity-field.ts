import { choleskyInPlace, choleskySolveInPlace, gather } from '../stats/index.js';
import type { SummaryStars } from './summary-stars.js';
import type { StarTable } from './types.js';

/** Smooth ellipticity over the field at the chosen stars: components and the standard error of each. */
export interface EllipticityField {
  readonly e1: Float64Array;
  readonly e2: Float64Array;
  readonly error: Float64Array;
}

/** Order of the polynomial by the stars at hand: constant, plane, second order, third order. */
const orderFor = (stars: number): number => (stars < 10 ? 0 : stars < 30 ? 1 : stars < 120 ? 2 : 3);

/** Terms u^(t - j) v^j of the polynomial of that order at (u, v), written from `at` on: each order is the last one times u, and its last term times v. */
function writeTerms(basis: Float64Array, at: number, order: number, u: number, v: number): void {
  basis[at] = 1;
  let last = at;
  for (let total = 1; total <= order; total += 1) {
    const next = last + total;
    for (let j = 0; j < total; j += 1) basis[next + j] = basis[last + j] * u;
    basis[next + total] = basis[next - 1] * v;
    last = next;
  }
}

/** Sums over the stars of w b_i b_j, lower half, for a basis of `size` terms a star; the diagonal raised a little. */
function normalMatrix(basis: Float64Array, size: number, weights: Float64Array): Float64Array {
  const normal = new Float64Array(size * size);
  for (let k = 0; k < weights.length; k += 1) {
    const at = k * size;
    for (let i = 0; i < size; i += 1) {
      const w = weights[k] * basis[at + i];
      for (let j = 0; j <= i; j += 1) normal[i * size + j] += w * basis[at + j];
    }
  }
  for (let i = 0; i < size; i += 1) normal[i * size + i] *= 1 + 1e-9;
  return normal;
}

/** Sums over the stars of w b_i v to `right`. */
function projectOnto(
  basis: Float64Array,
  size: number,
  weights: Float64Array,
  values: Float64Array,
  right: Float64Array,
): void {
  right.fill(0);
  for (let k = 0; k < weights.length; k += 1) {
    const wv = weights[k] * values[k];
    for (let i = 0; i < size; i += 1) right[i] += wv * basis[k * size + i];
  }
}

/** The polynomial of these coefficients at the stars, to `field`. */
function readField(basis: Float64Array, size: number, coefficients: Float64Array, field: Float64Array): void {
  for (let k = 0; k < field.length; k += 1) {
    let value = 0;
    for (let i = 0; i < size; i += 1) value += basis[k * size + i] * coefficients[i];
    field[k] = value;
  }
}

/**
 * Ellipticity of the star image as a smooth function of position (low-order polynomial, robust weighted least squares): what single
 * stars only show under their noise. Atmosphere and optics change slowly over a field, so its value at the stars is each star's ellipticity with most of the noise averaged away.
 *
 * Empty arrays for no star. Positions are scaled to -1..1 over the frame.
 */
export function ellipticityField(
  table: StarTable,
  { stars }: SummaryStars,
  widthPx: number,
  heightPx: number,
): EllipticityField {
  const n = stars.length;
  const order = orderFor(n);
  const size = ((order + 1) * (order + 2)) / 2;
  const basis = new Float64Array(n * size);
  for (let k = 0; k < n; k += 1) {
    const u = (2 * table.x[stars[k]]) / widthPx - 1;
    const v = (2 * table.y[stars[k]]) / heightPx - 1;
    writeTerms(basis, k * size, order, u, v);
  }
  const m1 = gather(table.e1, stars);
  const m2 = gather(table.e2, stars);
  const weight = gather(table.eError, stars).map((error) => 1 / (error ** 2 + 0.01 ** 2));
  const e1 = new Float64Array(n);
  const e2 = new Float64Array(n);
  const error = new Float64Array(n);
  if (n === 0) return { e1, e2, error };
  const robust = weight.slice();
  const misfit = new Float64Array(n);
  let factor: Float64Array | null = null;
  let excess = 1;
  const right1 = new Float64Array(size);
  const right2 = new Float64Array(size);
  for (let round = 0; round < 4; round += 1) {
    const normal = normalMatrix(basis, size, robust);
    projectOnto(basis, size, robust, m1, right1);
    projectOnto(basis, size, robust, m2, right2);
    // Positions that do not span the polynomial: the field stays as the last round left it.
    if (!choleskyInPlace(normal, size)) break;
    factor = normal;
    choleskySolveInPlace(factor, size, right1);
    choleskySolveInPlace(factor, size, right2);
    readField(basis, size, right1, e1);
    readField(basis, size, right2, e2);
    let chi = 0;
    let total = 0;
    for (let k = 0; k < n; k += 1) {
      misfit[k] = weight[k] * ((m1[k] - e1[k]) ** 2 + (m2[k] - e2[k]) ** 2);
      chi += (robust[k] / weight[k]) * misfit[k];
      total += robust[k] / weight[k];
    }
    // Scatter beyond the stated errors widens the error of the field alike.
    excess = Math.max(1, Math.sqrt((chi / (2 * total)) * (n / Math.max(1, n - size))));
    // Cauchy weights on the misfit.
    for (let k = 0; k < n; k += 1) robust[k] = weight[k] / (1 + misfit[k] / (3 * excess) ** 2);
  }
  if (factor === null) return { e1, e2, error };
  const solved = new Float64Array(size);
  for (let k = 0; k < n; k += 1)
    error[k] = excess * Math.sqrt(varianceAt(factor, size, basis, k * size, solved));
  return { e1, e2, error };
}

/** Variance b^T (L L^T)^-1 b of the field where the basis has the values b from `at` on: the square of L^-1 b, which `solved` is left with. */
function varianceAt(
  factor: Float64Array,
  size: number,
  basis: Float64Array,
  at: number,
  solved: Float64Array,
): number {
  let variance = 0;
  for (let i = 0; i < size; i += 1) {
    let v = basis[at + i];
    for (let j = 0; j < i; j += 1) v -= factor[i * size + j] * solved[j];
    solved[i] = v / factor[i * size + i];
    variance += solved[i] * solved[i];
  }
  return variance;
}
