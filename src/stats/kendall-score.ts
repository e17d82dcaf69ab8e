/** Kendall's score of a series against its order, and the variance of the score when there is no trend. */
export interface KendallScore {
  /** Pairs that rise minus pairs that fall. */
  readonly score: number;
  /** Variance of the score without trend, ties in either variable allowed for. */
  readonly variance: number;
  readonly pairs: number;
}

/**
 * Kendall's S of `y` against `x` (any units, equal lengths; ties in x or y count nothing) with its null variance:
 * Kendall 1975, Rank Correlation Methods, eq. 4.3 (both variables tied). Fewer than two points: all zero.
 */
export function kendallScore(x: readonly number[], y: readonly number[]): KendallScore {
  const n = y.length;
  if (x.length !== n) throw new RangeError(`x and y differ in length: ${x.length} and ${n}`);
  let score = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) score += Math.sign(x[j]! - x[i]!) * Math.sign(y[j]! - y[i]!);
  }
  const [xTies, yTies] = [tieSizes(x), tieSizes(y)];
  const all = (f: (t: number) => number, ties: readonly number[]) => ties.reduce((sum, t) => sum + f(t), 0);
  const a = (t: number) => t * (t - 1) * (2 * t + 5);
  const b = (t: number) => t * (t - 1) * (t - 2);
  const c = (t: number) => t * (t - 1);
  let variance = (a(n) - all(a, xTies) - all(a, yTies)) / 18;
  if (n > 2) variance += (all(b, xTies) * all(b, yTies)) / (9 * b(n));
  if (n > 1) variance += (all(c, xTies) * all(c, yTies)) / (2 * c(n));
  return { score, variance: Math.max(0, variance), pairs: (n * n - n) / 2 };
}

/** Sizes of the groups of equal values, groups of one left out. */
export function tieSizes(values: readonly number[]): number[] {
  const sorted = Float64Array.from(values).sort();
  const sizes: number[] = [];
  let run = 1;
  for (let i = 1; i <= sorted.length; i++) {
    if (i < sorted.length && sorted[i] === sorted[i - 1]) run++;
    else {
      if (run > 1) sizes.push(run);
      run = 1;
    }
  }
  return sizes;
}
