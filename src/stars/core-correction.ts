import { choleskyInPlace, choleskySolveInPlace } from '../stats/index.js';
import { CORE_REACH, coreTerms, type CoreCollector } from './core-collector.js';

/** Real star images lie between a Moffat (0) and pure seeing (1): where the stars cannot tell, the middle is taken. */
const SEEING_SHARE = 0.5;
const SEEING_SHARE_SD = 1;

/** How far, as a part of the peak, profiles stray from a Moffat in one term (less in higher ones): between pure chance and a defocused ring. */
const WIDEST_SPREAD = 0.4;
const LEAST_SPREAD = 1e-4;

/**
 * Factors by which the fitted widths become those of the light itself, whatever its profile (Kolmogorov seeing, a defocused disc, a trail), and the mean profile that says so.
 */
export interface CoreCorrection {
  readonly major: number;
  readonly minor: number;
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
  const neutral = { major: 1, minor: 1, centre: 1, isHollow: false, heightAt: model };
  if (collector.stars < minStars) return neutral;
  const share = seeingShare(collector);
  const right = Float64Array.from(
    terms,
    (_, t) => collector.right[t] - share * collector.normal[n * (n + 1) + t],
  );
  const coefficients = averagedCoefficients(collector, right);
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
  for (let u = 0; u < CORE_REACH; u += 0.05) top = Math.max(top, between(u));
  return {
    major: halfRadius(along, top),
    minor: halfRadius(across, top),
    centre,
    isHollow: centre < 0.85 * top,
    heightAt: between,
  };
}

/** By which part the stars' own heights change as the terms take up their light. */
function ownHeight({ taken, takenWeight }: CoreCollector, coefficients: Float64Array, share: number): number {
  if (!(takenWeight > 0)) return 0;
  let sum = share * taken[coefficients.length];
  for (let t = 0; t < coefficients.length; t += 1) sum += coefficients[t] * taken[t];
  return -sum / takenWeight;
}

/** How much of what seeing adds to a Moffat the frame's stars show: the one direction in which real images are known to differ is not left to chance. */
function seeingShare(collector: CoreCollector): number {
  const last = collector.right.length - 1;
  const variance = collector.squares / Math.max(1, collector.pixels - last);
  const own = collector.normal[(last + 1) * (last + 1) - 1] / variance;
  const prior = 1 / SEEING_SHARE_SD ** 2;
  return (collector.right[last] / variance + prior * SEEING_SHARE) / (own + prior);
}

/**
 * Coefficients under a normal prior about zero whose spread is not known: means over spreads evenly spread in logarithm, each weighted by how likely it makes the data (Bayesian
 * ridge regression; MacKay 1992, Neural Computation 4, 415). What the stars do not show stays near zero.
 */
function averagedCoefficients(collector: CoreCollector, right: Float64Array): Float64Array {
  const { terms, normal } = collector;
  const n = terms.length;
  const variance = collector.squares / Math.max(1, collector.pixels - n);
  const mean = new Float64Array(n);
  const factor = new Float64Array(n * n);
  let total = 0;
  let best = -Infinity;
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
    if (logLikelihood > best) {
      total *= Math.exp(best - logLikelihood);
      for (let t = 0; t < n; t += 1) mean[t] *= Math.exp(best - logLikelihood);
      best = logLikelihood;
    }
    const weight = Math.exp(logLikelihood - best);
    total += weight;
    for (let t = 0; t < n; t += 1) mean[t] += weight * solution[t];
  }
  return mean.map((m) => (total > 0 ? m / total : 0));
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
