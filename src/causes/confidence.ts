/** Logistic curve: log-odds to probability. */
export function logistic(logOdds: number): number {
  return 1 / (1 + Math.exp(-logOdds));
}

/** Keep a piece of evidence from outweighing all others together. */
export function bounded(value: number, most: number): number {
  return Math.max(-most, Math.min(most, value));
}

/**
 * Probability that an effect is there and matters: real beyond its errors, and large enough to see.
 *
 * @param significance size of the effect in its own standard errors; @param needed where chance of being real is one half
 * @param effect size in the unit that matters; @param limit size at which half of all observers would call it a fault
 * NaN counts as nothing: 0.
 */
export function realAndLarge(significance: number, needed: number, effect: number, limit: number): number {
  if (!(significance > 0) || !(effect > 0) || !(limit > 0)) return 0;
  const real = logistic(1.5 * (significance - needed));
  // In the logarithm, so that twice and half the limit lie evenly on both sides.
  const large = logistic(4 * Math.log(effect / limit));
  return real * large;
}
