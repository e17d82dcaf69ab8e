import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../stats/index.js';
import { CORE_REACH, coreTerms, type CoreCollector } from './core-collector.js';

/**
 * Real star images lie about and between a Moffat (0) and pure seeing (1): sums and convolutions of seeing with Gaussians, diffraction and slight defocus have 0.6 to 1.8. Where the stars cannot
 * tell, the middle is taken.
 */
const SEEING_SHARE = 0.5;
const SEEING_SHARE_SD = 0.5;

/** How far, as a part of the peak, profiles stray from a Moffat in one term (less in higher ones): between pure chance and a defocused ring. */
const WIDEST_SPREAD = 0.4;
const LEAST_SPREAD = 1e-4;

/**
 * Factors by which the fitted widths become those of the light itself, whatever its profile (Kolmogorov seeing, a defocused disc, a trail), and the mean profile that says so.
 */
export interface CoreCorrection {
  readonly major: number;
  readonly minor: number;
  /** Standard error of the geometric mean of both, as a part of it: all stars of the frame share it. */
  readonly error: number;
  /** Light at the centre over the fitted model's. */
  readonly centre: number;
  /** True when the light has a hole in the middle: a defocused star of an obstructed telescope. */
  readonly isHollow: boolean;
  /** Mean height at distance u (fitted half-widths) over the fitted model's centre, between the two axes; beyond `CORE_REACH` the model's. */
  readonly heightAt: (u: number) => number;
}

/**
 * The correction from what was collected; neutral when there are fewer than `minStars` stars.
 *
 * `model(u)` is the height of the fitted profile at distance u, 1 at the centre.
 */
export function coreCorrection(
  collector: CoreCollector,
  model: (u: number) => number,
  minStars = 3,
): CoreCorrection {
  const { terms } = collector;
  const n = terms.length;
  const neutral = { major: 1, minor: 1, error: 0, centre: 1, isHollow: false, heightAt: model };
  if (collector.stars < minStars) return neutral;
  const { share, shareError } = seeingShare(collector);
  const right = Float64Array.from(
    terms,
    (_, t) => collector.right[t] - share * collector.normal[n * (n + 1) + t],
  );
  const { mean: coefficients, errorOf } = averagedCoefficients(collector, right);
  const values = new Float64Array(n + 1);
  const writeTerms = coreTerms(terms, values, 0);
  const residual = (p: number, q: number): number => {
    writeTerms(p, q);
    let sum = share * values[n];
    for (let t = 0; t < n; t += 1) sum += coefficients[t] * values[t];
    return sum;
  };
  const scale = 1 + ownHeight(collector, coefficients, share);
  const along = (u: number): number => scale * model(u) + residual(u * u, 0);
  const across = (u: number): number => scale * model(u) + residual(0, u * u);
  const between = (u: number): number =>
    scale * model(u) + (u < CORE_REACH ? residual((u * u) / 2, (u * u) / 2) : 0);
  const centre = along(0);
  let top = centre;
  let topAt = 0;
  for (let u = 0; u < CORE_REACH; u += 0.05) {
    if (!(between(u) > top)) continue;
    top = between(u);
    topAt = u;
  }
  const major = halfRadius(along, top);
  const minor = halfRadius(across, top);
  // By how much the logarithm of the half radius moves for a unit of each term: height there less half of the top's, over the slope.
  const follow = new Float64Array(n + 1);
  const addFollow = (height: (u: number) => number, u: number, p: number, q: number): void => {
    const slope = (u * (height(u - SLOPE_STEP) - height(u + SLOPE_STEP))) / (2 * SLOPE_STEP);
    writeTerms(p, q);
    for (let t = 0; t <= n; t += 1) follow[t] += values[t] / (2 * slope);
    writeTerms((topAt * topAt) / 2, (topAt * topAt) / 2);
    for (let t = 0; t <= n; t += 1) follow[t] -= values[t] / (4 * slope);
  };
  addFollow(along, major, major * major, 0);
  addFollow(across, minor, 0, minor * minor);
  return {
    major,
    minor,
    error: Math.hypot(shareError * follow[n], errorOf(follow)),
    centre,
    isHollow: centre < 0.85 * top,
    heightAt: between,
  };
}

const SLOPE_STEP = 0.02;

/** By which part the stars' own heights change as the terms take up their light. */
function ownHeight({ taken, takenWeight }: CoreCollector, coefficients: Float64Array, share: number): number {
  if (!(takenWeight > 0)) return 0;
  let sum = share * taken[coefficients.length];
  for (let t = 0; t < coefficients.length; t += 1) sum += coefficients[t] * taken[t];
  return -sum / takenWeight;
}

/** How much of what seeing adds to a Moffat the frame's stars show: the one direction in which real images are known to differ is not left to chance. */
function seeingShare(collector: CoreCollector): { readonly share: number; readonly shareError: number } {
  const last = collector.right.length - 1;
  const variance = collector.squares / Math.max(1, collector.pixels - last);
  const own = collector.normal[(last + 1) * (last + 1) - 1] / variance;
  const prior = 1 / SEEING_SHARE_SD ** 2;
  const share = (collector.right[last] / variance + prior * SEEING_SHARE) / (own + prior);
  return { share, shareError: 1 / Math.sqrt(own + prior) };
}

/**
 * Coefficients under a normal prior about zero whose spread is not known: means over spreads evenly spread in logarithm, each weighted by how likely it makes the data (Bayesian
 * ridge regression; MacKay 1992, Neural Computation 4, 415). What the stars do not show stays near zero. `errorOf`: standard error of a sum of the coefficients with the given factors.
 */
function averagedCoefficients(
  collector: CoreCollector,
  right: Float64Array,
): { readonly mean: Float64Array; readonly errorOf: (factors: Float64Array) => number } {
  const { terms, normal } = collector;
  const n = terms.length;
  const variance = collector.squares / Math.max(1, collector.pixels - n);
  const mean = new Float64Array(n);
  const factor = new Float64Array(n * n);
  const fits: {
    readonly logLikelihood: number;
    readonly solution: Float64Array;
    readonly inverse: Float64Array;
  }[] = [];
  for (let spread = WIDEST_SPREAD; spread > LEAST_SPREAD; spread /= 2) {
    let logPrior = 0;
    for (let t = 0; t < n; t += 1) {
      for (let u = 0; u <= t; u += 1) factor[t * n + u] = normal[t * (n + 1) + u] / variance;
      const precision = ((1 + terms[t][0] + terms[t][1]) / spread) ** 2;
      factor[t * n + t] += precision;
      logPrior += Math.log(precision);
    }
    if (!choleskyInPlace(factor, n)) continue;
    const solution = right.map((r) => r / variance);
    choleskySolveInPlace(factor, n, solution);
    let explained = 0;
    let logDeterminant = 0;
    for (let t = 0; t < n; t += 1) {
      explained += (solution[t] * right[t]) / variance;
      logDeterminant += 2 * Math.log(factor[t * n + t]);
    }
    const logLikelihood = 0.5 * (explained - logDeterminant + logPrior);
    fits.push({ logLikelihood, solution, inverse: choleskyInverse(factor, n) });
  }
  const best = Math.max(...fits.map(({ logLikelihood }) => logLikelihood));
  const weights = fits.map(({ logLikelihood }) => Math.exp(logLikelihood - best));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  fits.forEach(({ solution }, k) => {
    for (let t = 0; t < n; t += 1) mean[t] += (weights[k] / total) * solution[t];
  });
  // Variance within each spread of the prior, and of the means between them.
  const errorOf = (factors: Float64Array): number => {
    let variance = 0;
    fits.forEach(({ solution, inverse }, k) => {
      let within = 0;
      let off = 0;
      for (let t = 0; t < n; t += 1) {
        off += factors[t] * (solution[t] - mean[t]);
        for (let u = 0; u < n; u += 1) within += factors[t] * inverse[t * n + u] * factors[u];
      }
      variance += (weights[k] / total) * (within + off * off);
    });
    return Math.sqrt(variance);
  };
  return { mean, errorOf };
}

/** Outermost u at which the height passes half of `top`; 1 when it does not within reach. */
function halfRadius(height: (u: number) => number, top: number): number {
  const step = 0.02;
  let u = CORE_REACH - 0.1;
  while (u > 0.3 && height(u) < top / 2) u -= step;
  if (u <= 0.3 || u >= CORE_REACH - 0.1) return 1;
  const f0 = height(u) - top / 2;
  const f1 = height(u + step) - top / 2;
  return u + (step * f0) / (f0 - f1);
}
