/**
 * Probabilities of Mann-Whitney's U for samples of `n` and `m` without ties when both come from one population:
 * an array of n * m + 1 values, index U (Mann & Whitney 1947, the recurrence in generating-function form).
 * An empty sample gives [1]. Throws RangeError for counts that are not whole and not negative.
 */
export function rankSumDistribution(n: number, m: number): Float64Array {
  if (!Number.isInteger(n) || !Number.isInteger(m) || n < 0 || m < 0) {
    throw new RangeError(`sample sizes are whole numbers from 0, got ${n} and ${m}`);
  }
  const top = n * m;
  const probability = new Float64Array(top + 1);
  probability[0] = 1;
  // The Gaussian binomial: multiply by (1 - q^(m+i)) / (1 - q^i), i = 1..n. Dividing by the count of choices at each
  // step keeps every number at the size of a probability, so large samples do not overflow.
  for (let i = 1; i <= n; i++) {
    for (let u = top; u >= m + i; u--) probability[u]! -= probability[u - m - i]!;
    for (let u = i; u <= top; u++) probability[u]! += probability[u - i]!;
    const choices = (m + i) / i;
    for (let u = 0; u <= top; u++) probability[u]! /= choices;
  }
  return probability;
}

/** P(U <= u) for every u, from `rankSumDistribution`. */
export function rankSumCumulative(n: number, m: number): Float64Array {
  const cumulative = rankSumDistribution(n, m);
  for (let u = 1; u < cumulative.length; u++) cumulative[u]! += cumulative[u - 1]!;
  return cumulative;
}
