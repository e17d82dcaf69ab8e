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

/** A few kinds of cuts are all that a program uses. */
const known = new Map<string, readonly number[]>();

/**
 * What the kernels find the normal core of a sample with (`normalCore` there), between mean - `below` sd and mean + `above` sd: the two bounds; mean and variance of that part of a unit normal;
 * the inverse of their derivatives (shift and logarithm of the stretch per change of mean and of variance); when to rest, how many whole steps, and how far a step goes.
 */
export function coreNumbers(below: number, above: number): readonly number[] {
  const key = `${below} ${above}`;
  const numbers = known.get(key) ?? numbersOf(below, above);
  known.set(key, numbers);
  return numbers;
}

function numbersOf(below: number, above: number): readonly number[] {
  const h = 0.01;
  const slope = (shift: number, stretch: number): readonly [number, number] => {
    const [m1, v1] = inside(below, above, shift, stretch);
    const [m0, v0] = inside(below, above, -shift, -stretch);
    return [(m1 - m0) / (2 * h), (v1 - v0) / (2 * h)];
  };
  const [a, c] = slope(h, 0);
  const [b, d] = slope(0, h);
  const determinant = a * d - b * c;
  const inverse = [d / determinant, -b / determinant, -c / determinant, a / determinant];
  const part = inside(below, above, 0, 0);
  return [below, above, ...part, ...inverse, AT_REST, WHOLE_STEPS, FARTHEST.shift, FARTHEST.stretch];
}
