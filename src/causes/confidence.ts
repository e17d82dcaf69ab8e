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

/**
 * Slope of the recalibration, in log-odds. Fitted by logistic regression of the truth of a statement on the log-odds that the causes gave it:
 * 97 statements over 95 simulated nights of another simulator than `simulate` (intercept -0.1 +- 0.7, slope 2.7 +- 0.8; none of one cause or
 * scenario alone), taken one standard error low, as simulated nights are easier than real ones. Checked on 72 statements of 71 further
 * such nights (mean log loss 0.14 before, 0.05 after) and on 107 of the suite's nights (0.11 before, 0.04 after). Checked again on 118
 * statements over 95 nights of a third simulator (rays through the pupil; other rigs, seeing profiles and headers): what is printed wants
 * a further slope of 1.16 +- 0.22 and an intercept of -0.15 +- 0.39, and no group of causes (focus, field, trails, light, seeing) one that
 * differs from 1 and 0 by more than 1.5 standard errors. So one slope serves all.
 */
const RECALIBRATION_SLOPE = 2;

/** The probability that a statement is true, from the confidence that the causes' own evidence gives it: 0.5 stays, both sides grow surer. */
export function calibrated(confidence: number): number {
  const within = bounded(confidence - 0.5, 0.499) + 0.5;
  return logistic(RECALIBRATION_SLOPE * Math.log(within / (1 - within)));
}

/** A frame is named when it carries the cause by itself; of a doubtful finding, the frames that it rests on. */
const CARRIES = 0.5;
const SHARE = 0.9;

/** The frames that carry a finding, as it names them; confidences before `calibrated`. */
export function carryingFrames<T extends { readonly confidence: number }>(
  frames: readonly T[],
  confidence: number,
): T[] {
  const least = leastTold(calibrated(confidence));
  return frames.filter((f) => calibrated(f.confidence) >= least);
}

/** The set-ups of a night that a finding tells of, as `carryingFrames` does frames; confidences after `calibrated`. */
export function carryingSetups<T extends { readonly confidence: number }>(found: readonly T[]): T[] {
  const least = leastTold(Math.max(0, ...found.map((f) => f.confidence)));
  return found.filter((f) => f.confidence >= least);
}

function leastTold(confidence: number): number {
  return Math.min(CARRIES, SHARE * confidence);
}
