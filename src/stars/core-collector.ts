import { moffatHeight, type MoffatShape } from './moffat-profile.js';
import type { StarWindow } from './star-window.js';

/** A fitted star, as the correction needs it: position 0-based, widths on the sensor (px), angle of the long axis (radians). */
export interface FittedStar {
  readonly x: number;
  readonly y: number;
  /** Height before the pixel, ADU. */
  readonly peak: number;
  readonly shape: MoffatShape;
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
}

/**
 * How the stars of a frame differ from the fitted Moffat: (data - model) / peak as an even polynomial of p, q, the distances along the long and short axis in
 * units of the fit's own half-maximum ellipse. Sums of its normal equations.
 */
export interface CoreCollector {
  readonly terms: readonly (readonly [number, number])[];
  /** Normal equations of the terms and, last, of what seeing adds to a Moffat (`coreTerms`). */
  readonly normal: Float64Array;
  readonly right: Float64Array;
  /** Weighted sum of squared residuals and number of pixels. */
  squares: number;
  pixels: number;
  stars: number;
  /** What one unit of each term takes from a star's own height, as a part of it: sum over the projected stars of weight x that, and of the weights. */
  readonly taken: Float64Array;
  takenWeight: number;
}

/** What a star leaves over its fit: positions from its centre (px), data less model (ADU) at each of its pixels. */
export interface StarResiduals {
  readonly dx: Float32Array;
  readonly dy: Float32Array;
  readonly residual: Float32Array;
  /** Derivatives of the model by parameters of the star's own, its height first (ADU): what these would take up of a term counts for nothing. None: the fit is left as it is. */
  readonly own: readonly Float32Array[];
}

/** Pixels within this many half-widths take part. */
export const CORE_REACH = 1.8;
/** The flat top of a star trailed by twice its width: order 4 leaves 0.3 %, 6 listens to noise. */
const ORDER_SPLIT = 5;
const ORDER_ROUND = 7;
/** The steep rim of a wide defocused image asks for more terms, and has the pixels for them. */
const ORDER_RIM = 18;
const RIM_ABOVE_PX = 10;

/**
 * Chebyshev coefficients on squared distances 0..CORE_REACH^2 of what a long exposure through the atmosphere (Kolmogorov, transform of exp(-3.44 f^(5/3)): Fried 1966)
 * leaves over the Moffat fitted to it with equal weights out to 1.15 of its width; reproduced to 4e-6 of the peak. It widens the fit's half maximum by 0.4 %.
 */
const SEEING_RESIDUAL = [-5.9e-4, -1.4e-4, -7.8e-4, 1.29e-3, -6.3e-4, 1.9e-4, -4e-5, 1e-5];

/** Values of the Chebyshev polynomials of orders 0, 1, 2... on squared distances 0..CORE_REACH^2, as many as `into` holds. */
function chebyshev(square: number, into: Float64Array): void {
  const t = (2 * square) / (CORE_REACH * CORE_REACH) - 1;
  into[0] = 1;
  into[1] = t;
  for (let k = 2; k < into.length; k += 1) into[k] = 2 * t * into[k - 1] - into[k - 2];
}

/** Function of p, q (squared distances) that writes the terms' values to `into` at `from`, and after them what seeing leaves over a Moffat. */
export function coreTerms(
  terms: CoreCollector['terms'],
  into: Float64Array,
  from: number,
): (p: number, q: number) => void {
  const isSplit = terms[terms.length - 1][1] > 0;
  const highest = terms[terms.length - 1][0] + terms[terms.length - 1][1];
  const together = new Float64Array(
    isSplit ? SEEING_RESIDUAL.length : Math.max(SEEING_RESIDUAL.length, highest + 1),
  );
  const along = new Float64Array(highest + 1);
  const across = new Float64Array(highest + 1);
  return (p, q) => {
    chebyshev(p + q, together);
    if (isSplit) {
      chebyshev(p, along);
      chebyshev(q, across);
    }
    for (let t = 0; t < terms.length; t += 1)
      into[from + t] = isSplit ? along[terms[t][0]] * across[terms[t][1]] : together[terms[t][0]];
    let seeing = 0;
    for (let k = 0; k < SEEING_RESIDUAL.length; k += 1) seeing += SEEING_RESIDUAL[k] * together[k];
    into[from + terms.length] = seeing;
  };
}

/** `splitAxes` lets the two axes differ (trailed stars); otherwise the residual depends on the distance alone. `widthPx`: of the frame's star image. */
export function makeCoreCollector(splitAxes: boolean, widthPx = 0): CoreCollector {
  const terms: [number, number][] = [];
  const roundOrder = widthPx > RIM_ABOVE_PX ? ORDER_RIM : ORDER_ROUND;
  for (let total = 0; total <= (splitAxes ? ORDER_SPLIT : roundOrder); total += 1) {
    if (!splitAxes) terms.push([total, 0]);
    else for (let j = 0; j <= total; j += 1) terms.push([total - j, j]);
  }
  const n = terms.length + 1;
  return {
    terms,
    normal: new Float64Array(n * n),
    right: new Float64Array(n),
    squares: 0,
    pixels: 0,
    stars: 0,
    taken: new Float64Array(n),
    takenWeight: 0,
  };
}

/** A star counts by its signal to noise (`ratio`: height over the noise of a pixel), levelled off where photon noise and not the sky limits it. */
export function starPrecision(ratio: number): number {
  return (ratio * ratio) / (1 + (ratio / 100) ** 2);
}

/** Add a star by the pixels of its window, as it was fitted. */
export function collectCore(
  collector: CoreCollector,
  window: StarWindow,
  star: FittedStar,
  nodes: Float64Array,
  pedestal: number,
): void {
  const room = window.width * window.height;
  const dx = new Float32Array(room);
  const dy = new Float32Array(room);
  const residual = new Float32Array(room);
  const { along, across } = axisSquares(star);
  let n = 0;
  for (let k = 0; k < room; k += 1) {
    if (!window.usable[k]) continue;
    dx[n] = window.x0 + (k % window.width) - star.x;
    dy[n] = window.y0 + Math.floor(k / window.width) - star.y;
    if (along(dx[n], dy[n]) + across(dx[n], dy[n]) > CORE_REACH * CORE_REACH) continue;
    residual[n] = window.values[k] - pedestal - star.peak * moffatHeight(star.shape, nodes, dx[n], dy[n]);
    n += 1;
  }
  const left = { dx: dx.subarray(0, n), dy: dy.subarray(0, n), residual: residual.subarray(0, n), own: [] };
  collectResiduals(collector, left, star, star.peak * moffatHeight(star.shape, nodes, 0, 0), window.noise);
}

/** Squared distances from the star along its long and its short axis, in half-widths. */
function axisSquares(star: FittedStar): {
  readonly along: (dx: number, dy: number) => number;
  readonly across: (dx: number, dy: number) => number;
} {
  const c = Math.cos(star.angle);
  const s = Math.sin(star.angle);
  return {
    along: (dx, dy) => ((c * dx + s * dy) / (star.major / 2)) ** 2,
    across: (dx, dy) => ((c * dy - s * dx) / (star.minor / 2)) ** 2,
  };
}

/** Add a star by what its fit leaves. `top`: height of the model at its centre, `noise`: of a pixel, both ADU. */
export function collectResiduals(
  collector: CoreCollector,
  { dx, dy, residual, own }: StarResiduals,
  star: FittedStar,
  top: number,
  noise: number,
): void {
  const { normal, right } = collector;
  const n = collector.terms.length + 1;
  const weight = starPrecision(top / noise);
  const { along, across } = axisSquares(star);
  // Normal equations of the own parameters, the terms and the residual together.
  const m = own.length;
  const size = m + n + 1;
  const row = new Float64Array(size);
  const sums = new Float64Array(size * size);
  const writeTerms = coreTerms(collector.terms, row, m);
  for (let k = 0; k < dx.length; k += 1) {
    const p = along(dx[k], dy[k]);
    const q = across(dx[k], dy[k]);
    const isNear = p + q <= CORE_REACH * CORE_REACH;
    for (let u = 0; u < m; u += 1) row[u] = own[u][k] / top;
    if (isNear) writeTerms(p, q);
    else row.fill(0, m, m + n);
    row[size - 1] = residual[k] / top;
    for (let u = 0; u < size; u += 1) for (let v = 0; v <= u; v += 1) sums[u * size + v] += row[u] * row[v];
  }
  if (!eliminate(sums, size, m)) return;
  if (m > 0) {
    for (let t = 0; t < n; t += 1)
      collector.taken[t] += (weight * firstUnknown(sums, size, m, m + t)) / star.peak;
    collector.takenWeight += weight;
  }
  for (let t = 0; t < n; t += 1) {
    right[t] += weight * sums[(size - 1) * size + m + t];
    for (let u = 0; u <= t; u += 1) normal[t * n + u] += weight * sums[(m + t) * size + m + u];
  }
  collector.squares += weight * sums[size * size - 1];
  collector.pixels += Math.max(0, dx.length - m);
  collector.stars += 1;
}

/** Gaussian elimination of the first `m` unknowns from a symmetric matrix (lower half, in place); false when they cannot be told apart. */
function eliminate(sums: Float64Array, size: number, m: number): boolean {
  for (let e = 0; e < m; e += 1) {
    const pivot = sums[e * size + e];
    if (!(pivot > 0)) return false;
    for (let u = e + 1; u < size; u += 1) {
      const factor = sums[u * size + e] / pivot;
      for (let v = e + 1; v <= u; v += 1) sums[u * size + v] -= factor * sums[v * size + e];
    }
  }
  return true;
}

/** After `eliminate`: the first unknown's part in row `r` (back substitution). */
function firstUnknown(sums: Float64Array, size: number, m: number, r: number): number {
  const solved = new Float64Array(m);
  for (let e = m - 1; e >= 0; e -= 1) {
    let sum = sums[r * size + e];
    for (let v = e + 1; v < m; v += 1) sum -= sums[v * size + e] * solved[v];
    solved[e] = sum / sums[e * size + e];
  }
  return solved[0];
}
