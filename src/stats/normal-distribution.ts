import { probit } from 'simple-statistics';

const INVERSE_ROOT_TWO_PI = 1 / Math.sqrt(2 * Math.PI);

/**
 * Probability that a standard normal variable is at most `z`; relative accuracy about 1e-14 in both tails.
 *
 * simple-statistics looks this up in a four-figure table, too coarse for p-values in the tail.
 * Method: Taylor series about zero (Marsaglia 2004, J. Stat. Softw. 11(4)), and beyond |z| = 3 the continued fraction
 * of the Mills ratio (NIST DLMF 7.9.3). NaN gives NaN; -Infinity 0, +Infinity 1.
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return NaN;
  if (z < -38.6) return 0;
  if (z > 38.6) return 1;
  if (z < -3) return upperTail(-z);
  if (z > 3) return 1 - upperTail(z);
  let term = z;
  let sum = z;
  for (let k = 3; Math.abs(term) > 1e-18; k += 2) {
    term *= (z * z) / k;
    sum += term;
  }
  return 0.5 + sum * density(z);
}

/** Two-sided p-value of a standard normal statistic: P(|Z| >= |z|). NaN gives NaN. */
export function normalTwoSidedP(z: number): number {
  return 2 * normalCdf(-Math.abs(z));
}

/**
 * Value that a standard normal variable stays below with probability `p`, accurate to about 1e-14.
 * 0 gives -Infinity, 1 +Infinity; a RangeError outside [0, 1] or for NaN.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a probability lies between 0 and 1, got ${p}`);
  if (p === 0) return -Infinity;
  if (p === 1) return Infinity;
  if (p > 0.5) return -normalQuantile(1 - p);
  // Newton on the logarithm of the tail, which is concave: from a start below the root it closes in from one side.
  let z = p > 1e-8 ? probit(p) : Math.max(-Math.sqrt(-2 * Math.log(p)), -38.5);
  for (let i = 0; i < 100; i++) {
    const below = normalCdf(z);
    const step = (Math.log(below / p) * below) / density(z);
    z -= step;
    if (Math.abs(step) < 1e-15 * Math.max(1, Math.abs(z))) break;
  }
  return z;
}

function density(z: number): number {
  return INVERSE_ROOT_TWO_PI * Math.exp(-0.5 * z * z);
}

function upperTail(z: number): number {
  let fraction = z;
  // 120 levels reach double precision at z = 3, the worst case.
  for (let k = 120; k >= 1; k--) fraction = z + k / fraction;
  return density(z) / fraction;
}
