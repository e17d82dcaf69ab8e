/** A stretch of steps along a line, first and last included, and the part of them that are lit. */
export interface LitRun {
  readonly first: number;
  readonly last: number;
  readonly filled: number;
}

/**
 * The stretch that is lit almost without gaps: the maximal sum of +1 for a step with contrast above `limit` and -2 for one below (Bentley 1984, Kadane's
 * algorithm), so that chains of stars with sky between them stay short. Null when no step is lit.
 */
export function longestLitRun(contrast: Float64Array, limit: number): LitRun | null {
  let best = 0;
  let run: LitRun | null = null;
  let sum = 0;
  let first = 0;
  let lit = 0;
  for (let k = 0; k < contrast.length; k += 1) {
    const isLit = contrast[k] > limit;
    if (sum <= 0) {
      sum = 0;
      first = k;
      lit = 0;
    }
    sum += isLit ? 1 : -2;
    if (isLit) lit += 1;
    if (sum > best) {
      best = sum;
      run = { first, last: k, filled: lit / (k - first + 1) };
    }
  }
  return run;
}
