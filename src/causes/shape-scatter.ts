import { median } from 'simple-statistics';

/** What is usual: part of the width that no average gets below, and a star's own scatter (seen in simulated frames of 40 to 500 stars). */
const LEAST = 0.003;
const PER_STAR = 0.06;
/** How many neighbours' differences the usual scatter is worth. */
const USUAL_WEIGHT = 5;
/** A difference this many times the usual one is a step, not scatter. */
const STEP = 3;

/**
 * Scatter of ln(half-flux diameter over FWHM) from frame to frame: that of neighbours in time, which a slow change leaves alone, drawn
 * towards what is usual for frames of so many stars (scaled inverse chi-square prior; Gelman et al., Bayesian Data Analysis, section 2.6).
 *
 * @param logRatios in order of time, one group; fewer than two: the usual scatter
 * @param stars typical number of measured stars of a frame
 */
export function shapeScatter(logRatios: readonly number[], stars: number): number {
  const usual = Math.hypot(LEAST, PER_STAR / Math.sqrt(Math.max(1, stars)));
  const steps = logRatios.slice(1).map((ratio, k) => Math.abs(ratio - logRatios[k]) / Math.SQRT2);
  if (steps.length === 0) return usual;
  const most = STEP * Math.max(usual, median(steps) / 0.6745);
  const squares = steps.reduce((sum, step) => sum + Math.min(step, most) ** 2, 0);
  return Math.sqrt((USUAL_WEIGHT * usual * usual + squares) / (USUAL_WEIGHT + steps.length));
}
