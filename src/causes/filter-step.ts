import { mean, quantile } from 'simple-statistics';
import { seeingAtZenith } from '../optics/index.js';
import { bounded } from './confidence.js';
import { frameAirmass } from './extinction.js';
import { levelLikelihood, wanderingLikelihood } from './level-likelihood.js';
import type { FrameFacts } from './night-series.js';

/** How much wider the stars are through one filter, and whether the change goes with the filter rather than with time. */
export interface FilterStep {
  readonly filter: string | null;
  /** FWHM over that through the sharpest filter, airmass taken out. */
  readonly times: number;
  /** Size of the step in its own errors. */
  readonly significance: number;
  /** Difference of log-likelihoods: a width for each filter against a width that wanders through the night. */
  readonly steadier: number;
}

const FEWEST_FRAMES = 6;
const FEWEST_PER_FILTER = 2;
const LEAST_SCATTER = 0.008;

/**
 * Steps of the stars' width from filter to filter, in frames that were neither shaken nor dimmed.
 *
 * Empty with fewer than six frames or fewer than two filters with two frames each.
 */
export function filterSteps(facts: readonly FrameFacts[]): FilterStep[] {
  const usable = facts.filter((f) => f.frame.fwhm.px !== null && !f.disturbed);
  const filters = [...new Set(usable.map((f) => f.frame.header.filter))].filter(
    (filter) => usable.filter((f) => f.frame.header.filter === filter).length >= FEWEST_PER_FILTER,
  );
  const used = usable.filter((f) => filters.includes(f.frame.header.filter));
  if (used.length < FEWEST_FRAMES || filters.length < 2) return [];
  const y = used.map((f) => Math.log(seeingAtZenith(f.frame.fwhm.px ?? NaN, frameAirmass(f.frame) ?? 1)));
  const of = (filter: string | null): number[] => y.filter((_, k) => used[k].frame.header.filter === filter);
  const levels = new Map(filters.map((filter) => [filter, mean(of(filter))]));
  const rest = y.map((value, k) => value - (levels.get(used[k].frame.header.filter) ?? 0));
  const scatter = Math.max(
    LEAST_SCATTER,
    Math.sqrt(rest.reduce((sum, r) => sum + r * r, 0) / Math.max(1, y.length - filters.length)),
  );
  const steadier =
    levelLikelihood(rest, 0, LEAST_SCATTER) -
    wanderingLikelihood(y, LEAST_SCATTER) -
    (filters.length - 2) -
    0.5;
  const sharpest = quantile([...levels.values()], 0);
  const reference = filters.find((filter) => levels.get(filter) === sharpest) ?? null;
  return filters.map((filter) => {
    const step = (levels.get(filter) ?? 0) - sharpest;
    const error = scatter * Math.sqrt(1 / of(filter).length + 1 / of(reference).length);
    return { filter, times: Math.exp(step), significance: step / error, steadier };
  });
}

/** Log-odds that a filter's wider stars go with the filter. */
export function filterStepLogOdds(step: FilterStep | null): number {
  if (step === null) return -3;
  return bounded(0.9 * step.steadier, 3) + bounded(step.significance - 4.5, 2) - 0.3;
}
