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

/** How the part of a unit normal between two bounds answers to a shift and a stretch of the whole. */
interface Cut {
  readonly below: number;
  readonly above: number;
  /** Mean and variance of that part. */
  readonly mean: number;
  readonly variance: number;
  /** Inverse of their derivatives: shift and logarithm of the stretch per change of mean and of variance. */
  readonly inverse: readonly [number, number, number, number];
}

/** A few kinds of cuts are all that a program uses. */
const cuts: Cut[] = [];

function cutAt(below: number, above: number): Cut {
  const known = cuts.find((cut) => cut.below === below && cut.above === above);
  if (known !== undefined) return known;
  const [mean, variance] = inside(below, above, 0, 0);
  const h = 0.01;
  const slope = (shift: number, stretch: number): readonly [number, number] => {
    const [m1, v1] = inside(below, above, shift, stretch);
    const [m0, v0] = inside(below, above, -shift, -stretch);
    return [(m1 - m0) / (2 * h), (v1 - v0) / (2 * h)];
  };
  const [a, c] = slope(h, 0);
  const [b, d] = slope(0, h);
  const determinant = a * d - b * c;
  const inverse = [d / determinant, -b / determinant, -c / determinant, a / determinant] as const;
  const cut = { below, above, mean, variance, inverse };
  cuts.push(cut);
  return cut;
}

/** Mean and variance between -below and above of a normal with the given mean and logarithm of its sd (Johnson, Kotz & Balakrishnan, section 13.10). */
function inside(
  below: number,
  above: number,
  mean: number,
  logSd: number,
): readonly [mean: number, variance: number] {
  const sd = Math.exp(logSd);
  const a = (-below - mean) / sd;
  const b = (above - mean) / sd;
  const mass = cumulative(b) - cumulative(a);
  const shift = (density(a) - density(b)) / mass;
  return [mean + sd * shift, sd * sd * (1 + (a * density(a) - b * density(b)) / mass - shift * shift)];
}

/** Bounds rest when they move by less than this part of what chance does to them: where single entries come and go at a bound they never rest wholly. */
const AT_REST = 0.4;
/** After so many steps, half of each: the bounds swing about where they belong. */
const WHOLE_STEPS = 3;
/** One step goes no farther than this, in sd and in the logarithm of the sd. */
const FARTHEST = { shift: 1.5, stretch: 0.7 };
const within = (value: number, most: number): number => Math.max(-most, Math.min(most, value));

/**
 * Mean and standard deviation of the normal distribution behind a sample that carries extra light on its high side.
 *
 * Only entries between mean - `below` sd and mean + `above` sd are used; mean and sd are those of the normal whose part inside the bounds has the mean and variance found there
 * (moments of the truncated normal: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 1, section 13.10; Newton's method), and the bounds follow until they rest.
 * `start` is a first guess, e.g. median and MAD.
 * Fewer than 8 entries inside the bounds, or a spread of zero: the guess comes back with the count used.
 * The sample is known by its sums, wherever it lies.
 */
export function normalCoreOf(
  sumsWithin: SumsWithin,
  start: { readonly mean: number; readonly sd: number },
  below = 3,
  above = 1,
): NormalCore {
  const cut = cutAt(below, above);
  let { mean, sd } = start;
  let used = 0;
  for (let iteration = 0; iteration < 12; iteration += 1) {
    const { n, sum, squares } = sumsWithin(mean, mean - below * sd, mean + above * sd);
    used = n;
    if (n < 8 || !(sd > 0)) break;
    const inMean = sum / n;
    const inVariance = squares / n - inMean * inMean;
    if (!(inVariance > 0)) break;
    const dMean = inMean / sd - cut.mean;
    const dVariance = inVariance / (sd * sd) - cut.variance;
    const [a, b, c, d] = cut.inverse;
    const part = iteration < WHOLE_STEPS ? 1 : 0.5;
    const shift = sd * within(part * (a * dMean + b * dVariance), FARTHEST.shift);
    const grown = within(part * (c * dMean + d * dVariance), FARTHEST.stretch);
    const stretch = 1 + grown + (grown * grown) / 2;
    const change = Math.abs(shift) + Math.abs(stretch - 1) * sd;
    mean += shift;
    sd *= stretch;
    if (change < (AT_REST / Math.sqrt(used)) * sd) break;
  }
  return { mean, sd, used };
}

/** All numbers of `normalCoreOf` for these bounds, for a kernel that does the same. */
export function coreNumbers(below: number, above: number): readonly number[] {
  const { mean, variance, inverse } = cutAt(below, above);
  return [below, above, mean, variance, ...inverse, AT_REST, WHOLE_STEPS, FARTHEST.shift, FARTHEST.stretch];
}
