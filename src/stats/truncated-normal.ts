import { errorFunction } from 'simple-statistics';

/** Mean and standard deviation of the normal core of a contaminated sample. */
export interface NormalCore {
  readonly mean: number;
  readonly sd: number;
  /** Entries inside the truncation bounds. */
  readonly used: number;
}

const INV_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);
const density = (z: number): number => INV_SQRT_2PI * Math.exp(-0.5 * z * z);
const cumulative = (z: number): number => 0.5 * (1 + errorFunction(z / Math.SQRT2));

/** Number, sum and sum of squares of (value - centre) over the entries of a sample in [low, high]. */
export type SumsWithin = (
  centre: number,
  low: number,
  high: number,
) => { readonly n: number; readonly sum: number; readonly squares: number };

/**
 * Mean and standard deviation of the normal distribution behind a sample that carries extra light on its high side.
 *
 * Only entries between mean - `below` sd and mean + `above` sd are used; the mean and variance inside the bounds are turned
 * into those of the whole normal (moments of the truncated normal: Johnson, Kotz & Balakrishnan, Continuous Univariate
 * Distributions 1, section 13.10), and the bounds follow until they rest. `start` is a first guess, e.g. median and MAD.
 * Fewer than 8 entries inside the bounds, or a spread of zero: the guess comes back with the count used.
 * The sample is known by its sums, wherever it lies.
 */
export function normalCoreOf(
  sumsWithin: SumsWithin,
  start: { readonly mean: number; readonly sd: number },
  below = 3,
  above = 1,
): NormalCore {
  let { mean, sd } = start;
  let used = 0;
  for (let iteration = 0; iteration < 12; iteration += 1) {
    const low = mean - below * sd;
    const high = mean + above * sd;
    const { n, sum, squares } = sumsWithin(mean, low, high);
    used = n;
    if (n < 8 || !(sd > 0)) break;
    const inMean = sum / n;
    const inVariance = squares / n - inMean * inMean;
    if (!(inVariance > 0)) break;
    const next = untruncate(mean + inMean, inVariance, low, high, mean, sd);
    const change = Math.abs(next.mean - mean) + Math.abs(next.sd - sd);
    mean = next.mean;
    sd = next.sd;
    if (change < 3e-3 * sd) break;
  }
  return { mean, sd, used };
}

/** Mean and sd of the normal whose part between `low` and `high` has the given mean and variance. */
function untruncate(
  inMean: number,
  inVariance: number,
  low: number,
  high: number,
  guessMean: number,
  guessSd: number,
): { readonly mean: number; readonly sd: number } {
  let mean = guessMean;
  let sd = guessSd;
  const widest = 3 * guessSd;
  for (let step = 0; step < 6; step += 1) {
    const a = (low - mean) / sd;
    const b = (high - mean) / sd;
    const mass = cumulative(b) - cumulative(a);
    if (!(mass > 1e-3)) break;
    const shift = (density(a) - density(b)) / mass;
    const shrink = 1 + (a * density(a) - b * density(b)) / mass - shift * shift;
    if (!(shrink > 1e-3)) break;
    const nextSd = Math.min(widest, Math.sqrt(inVariance / shrink));
    const nextMean = inMean - nextSd * shift;
    const isAtRest = Math.abs(nextSd - sd) + Math.abs(nextMean - mean) < 1e-5 * sd;
    sd = nextSd;
    mean = nextMean;
    if (isAtRest) break;
  }
  return { mean, sd };
}
