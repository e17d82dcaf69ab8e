import { Matrix, solve } from 'ml-matrix';
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
  const basis = Array.from(stars, (s) => {
    const u = (2 * table.x[s]) / widthPx - 1;
    const v = (2 * table.y[s]) / heightPx - 1;
    return terms.map(([i, j]) => u ** i * v ** j);
  });
  const m1 = Float64Array.from(stars, (s) => table.e1[s]);
  const m2 = Float64Array.from(stars, (s) => table.e2[s]);
  const weight = Float64Array.from(stars, (s) => 1 / (table.eError[s] ** 2 + 0.01 ** 2));
  const e1 = new Float64Array(n);
  const e2 = new Float64Array(n);
  const error = new Float64Array(n);
  if (n === 0) return { e1, e2, error };
  let robust = Float64Array.from(weight);
  for (let round = 0; round < 4; round += 1) {
    const normal = Matrix.zeros(terms.length, terms.length);
    const right = Matrix.zeros(terms.length, 2);
    for (let k = 0; k < n; k += 1) {
      for (let i = 0; i < terms.length; i += 1) {
        const w = robust[k] * basis[k][i];
        right.set(i, 0, right.get(i, 0) + w * m1[k]);
        right.set(i, 1, right.get(i, 1) + w * m2[k]);
        for (let j = 0; j < terms.length; j += 1) normal.set(i, j, normal.get(i, j) + w * basis[k][j]);
      }
    }
    for (let i = 0; i < terms.length; i += 1) normal.set(i, i, normal.get(i, i) * (1 + 1e-9));
    const solution = solve(normal, right);
    const inverse = solve(normal, Matrix.eye(terms.length));
    let chi = 0;
    let total = 0;
    const misfit = new Float64Array(n);
    for (let k = 0; k < n; k += 1) {
      e1[k] = 0;
      e2[k] = 0;
      let variance = 0;
      for (let i = 0; i < terms.length; i += 1) {
        e1[k] += basis[k][i] * solution.get(i, 0);
        e2[k] += basis[k][i] * solution.get(i, 1);
        for (let j = 0; j < terms.length; j += 1) variance += basis[k][i] * inverse.get(i, j) * basis[k][j];
      }
      misfit[k] = Math.sqrt(weight[k]) * Math.hypot(m1[k] - e1[k], m2[k] - e2[k]);
      error[k] = Math.sqrt(Math.max(0, variance));
      chi += (robust[k] / weight[k]) * misfit[k] ** 2;
      total += robust[k] / weight[k];
    }
    // Scatter beyond the stated errors widens the error of the field alike.
    const excess = Math.max(1, Math.sqrt((chi / (2 * total)) * (n / Math.max(1, n - terms.length))));
    for (let k = 0; k < n; k += 1) error[k] *= excess;
    // Cauchy weights on the misfit.
    robust = weight.map((w, k) => w / (1 + (misfit[k] / (3 * excess)) ** 2));
  }
  return { e1, e2, error };
}
