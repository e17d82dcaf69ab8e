import { choleskyInPlace, choleskyInverse } from '../stats/index.js';
import type { SummaryStars } from './summary-stars.js';
import type { StarTable } from './types.js';

/** Smooth ellipticity over the field at the chosen stars: components and the standard error of each. */
export interface EllipticityField {
  readonly e1: Float64Array;
  readonly e2: Float64Array;
  readonly error: Float64Array;
}

/** Powers of the polynomial by the stars at hand: constant, plane, second order, third order. */
function termsFor(stars: number): readonly (readonly [number, number])[] {
  const order = stars < 10 ? 0 : stars < 30 ? 1 : stars < 120 ? 2 : 3;
  const terms: [number, number][] = [];
  for (let total = 0; total <= order; total += 1)
    for (let j = 0; j <= total; j += 1) terms.push([total - j, j]);
  return terms;
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
  const terms = termsFor(n);
  const size = terms.length;
  const basis = new Float64Array(n * size);
  for (let k = 0; k < n; k += 1) {
    const u = (2 * table.x[stars[k]]) / widthPx - 1;
    const v = (2 * table.y[stars[k]]) / heightPx - 1;
    for (let t = 0; t < size; t += 1) basis[k * size + t] = u ** terms[t][0] * v ** terms[t][1];
  }
  const m1 = Float64Array.from(stars, (s) => table.e1[s]);
  const m2 = Float64Array.from(stars, (s) => table.e2[s]);
  const weight = Float64Array.from(stars, (s) => 1 / (table.eError[s] ** 2 + 0.01 ** 2));
  const e1 = new Float64Array(n);
  const e2 = new Float64Array(n);
  const error = new Float64Array(n);
  if (n === 0) return { e1, e2, error };
  let robust = Float64Array.from(weight);
  for (let round = 0; round < 4; round += 1) {
    const normal = new Float64Array(size * size);
    const right1 = new Float64Array(size);
    const right2 = new Float64Array(size);
    for (let k = 0; k < n; k += 1) {
      for (let i = 0; i < size; i += 1) {
        const w = robust[k] * basis[k * size + i];
        right1[i] += w * m1[k];
        right2[i] += w * m2[k];
        for (let j = 0; j <= i; j += 1) normal[i * size + j] += w * basis[k * size + j];
      }
    }
    for (let i = 0; i < size; i += 1) normal[i * size + i] *= 1 + 1e-9;
    // Positions that do not span the polynomial: the field stays as the last round left it.
    if (!choleskyInPlace(normal, size)) break;
    const inverse = choleskyInverse(normal, size);
    const solution1 = times(inverse, right1);
    const solution2 = times(inverse, right2);
    let chi = 0;
    let total = 0;
    const misfit = new Float64Array(n);
    for (let k = 0; k < n; k += 1) {
      e1[k] = 0;
      e2[k] = 0;
      let variance = 0;
      for (let i = 0; i < size; i += 1) {
        e1[k] += basis[k * size + i] * solution1[i];
        e2[k] += basis[k * size + i] * solution2[i];
        for (let j = 0; j < size; j += 1)
          variance += basis[k * size + i] * inverse[i * size + j] * basis[k * size + j];
      }
      misfit[k] = Math.sqrt(weight[k]) * Math.hypot(m1[k] - e1[k], m2[k] - e2[k]);
      error[k] = Math.sqrt(Math.max(0, variance));
      chi += (robust[k] / weight[k]) * misfit[k] ** 2;
      total += robust[k] / weight[k];
    }
    // Scatter beyond the stated errors widens the error of the field alike.
    const excess = Math.max(1, Math.sqrt((chi / (2 * total)) * (n / Math.max(1, n - size))));
    for (let k = 0; k < n; k += 1) error[k] *= excess;
    // Cauchy weights on the misfit.
    robust = weight.map((w, k) => w / (1 + (misfit[k] / (3 * excess)) ** 2));
  }
  return { e1, e2, error };
}

/** Square matrix (row-major) times vector. */
function times(matrix: Float64Array, vector: Float64Array): Float64Array {
  const n = vector.length;
  return vector.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < n; j += 1) sum += matrix[i * n + j] * vector[j];
    return sum;
  });
}
