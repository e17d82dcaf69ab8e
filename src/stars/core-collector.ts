import { choosePixels } from './chosen-pixels.js';
import { moffatHeight, type MoffatShape } from './moffat-profile.js';
import { placeModel, type PlacedModel } from './placed-model.js';
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
  /** ADU^2 of variance per ADU of starlight. */
  readonly photonFactor: number;
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

/** Whether terms are products of both axes' polynomials, and the highest order. */
function orders(terms: CoreCollector['terms']): { readonly isSplit: boolean; readonly highest: number } {
  const [p, q] = terms[terms.length - 1];
  return { isSplit: q > 0, highest: p + q };
}

/** Function of p, q (squared distances) that writes the terms' values to `into` at `from`, and after them what seeing leaves over a Moffat. */
export function coreTerms(
  terms: CoreCollector['terms'],
  into: Float64Array,
  from: number,
): (p: number, q: number) => void {
  const { isSplit, highest } = orders(terms);
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

/** `splitAxes` lets the two axes differ (trailed stars); otherwise the residual depends on the distance alone. `widthPx`: of the frame's star image. `photonFactor`: see `starPrecision`. */
export function makeCoreCollector(splitAxes: boolean, widthPx = 0, photonFactor = 0): CoreCollector {
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
    photonFactor,
  };
}

/** Mean height of a star over the pixels of its core. */
const MEAN_HEIGHT = 0.4;
/** By so much of its height a pixel of one star differs from that of another whatever the noise. */
const OWN_WAY = 0.004;

/**
 * What a star counts, of height `top` over pixels of `noise` (ADU) and with a variance of `photonFactor` per ADU of starlight: one over a pixel's variance as a part of the height squared.
 */
export function starPrecision(top: number, noise: number, photonFactor: number): number {
  return 1 / ((noise / top) ** 2 + (MEAN_HEIGHT * photonFactor) / top + OWN_WAY ** 2);
}

/** Add a star by the pixels of its window, as it was fitted. */
export function collectCore(
  collector: CoreCollector,
  window: StarWindow,
  star: FittedStar,
  nodes: Float64Array,
  pedestal: number,
): void {
  const pixels = choosePixels(window, star.x, star.y, (CORE_REACH * star.major) / 2, pedestal);
  const { a, b, c, gamma } = star.shape;
  const model = placeModel(pixels, nodes);
  model.sums([star.peak, star.x - pixels.x0, star.y - pixels.y0, a, b, c], gamma);
  collectResiduals(
    collector,
    model,
    star,
    star.peak * moffatHeight(star.shape, nodes, 0, 0),
    window.noise,
    0,
  );
}

/** Places on the desk, in doubles, behind those of `placeModel`. */
const FRAME = 80;
const SEEING = 88;
const SUMS = 96;

/**
 * Add a star by what its model on the desk, after `sums` there, leaves. `top`: height of the model at its centre, `noise`: of a pixel, both ADU. `own`: how many parameters of the star's own, its height first, were fitted to these
 * very pixels: what these would take up of a term counts for nothing. 0: the fit is left as it is.
 */
export function collectResiduals(
  collector: CoreCollector,
  { pixels: { desk, x0, y0, count }, places }: PlacedModel,
  star: FittedStar,
  top: number,
  noise: number,
  own: number,
): void {
  const { terms, normal, right } = collector;
  const { kernels, numbers, numbersAt } = desk;
  const n = terms.length + 1;
  const size = own + n + 1;
  const [c, s] = [Math.cos(star.angle), Math.sin(star.angle)];
  const [long, short] = [star.major / 2, star.minor / 2];
  numbers.set([star.x - x0, star.y - y0, c / long, s / long, -s / short, c / short, CORE_REACH ** 2], FRAME);
  numbers.set(SEEING_RESIDUAL, SEEING);
  const sums = numbers.subarray(SUMS, SUMS + (size * (size + 1)) / 2).fill(0);
  const { isSplit, highest } = orders(terms);
  const used = kernels.coreSums(
    places.pixels,
    places.stride,
    count,
    places.work,
    own,
    numbersAt + 8 * FRAME,
    1 / top,
    isSplit ? 1 : 0,
    highest,
    numbersAt + 8 * SEEING,
    SEEING_RESIDUAL.length,
    numbersAt + 8 * SUMS,
  );
  // The kernel's derivatives are those of a star of height 1: only the first one's size counts.
  if (!eliminate(sums, size, own)) return;
  const weight = starPrecision(top, noise, collector.photonFactor);
  if (own > 0) {
    for (let t = 0; t < n; t += 1)
      collector.taken[t] += (weight * firstUnknown(sums, own, own + t)) / star.peak;
    collector.takenWeight += weight;
  }
  const last = row(size - 1);
  for (let t = 0; t < n; t += 1) {
    right[t] += weight * sums[last + own + t];
    for (let u = 0; u <= t; u += 1) normal[t * n + u] += weight * sums[row(own + t) + own + u];
  }
  collector.squares += weight * sums[last + size - 1];
  collector.pixels += Math.max(0, used - own);
  collector.stars += 1;
}

/** Where a row of the lower half of a matrix begins. */
function row(u: number): number {
  return (u * (u + 1)) / 2;
}

/** Gaussian elimination of the first `m` unknowns from a symmetric matrix (lower half, in place); false when they cannot be told apart. */
function eliminate(sums: Float64Array, size: number, m: number): boolean {
  for (let e = 0; e < m; e += 1) {
    const pivot = sums[row(e) + e];
    if (!(pivot > 0)) return false;
    for (let u = e + 1; u < size; u += 1) {
      const factor = sums[row(u) + e] / pivot;
      for (let v = e + 1; v <= u; v += 1) sums[row(u) + v] -= factor * sums[row(v) + e];
    }
  }
  return true;
}

/** After `eliminate`: the first unknown's part in row `r` (back substitution). */
function firstUnknown(sums: Float64Array, m: number, r: number): number {
  const solved = new Float64Array(m);
  for (let e = m - 1; e >= 0; e -= 1) {
    let sum = sums[row(r) + e];
    for (let v = e + 1; v < m; v += 1) sum -= sums[row(v) + e] * solved[v];
    solved[e] = sum / sums[row(e) + e];
  }
  return solved[0];
}
