import { linearRegression, mean } from 'simple-statistics';
import { seeingAtZenith } from '../optics/index.js';
import { bounded } from './confidence.js';
import { frameAirmass } from './extinction.js';
import { defocusLogOdds, type DefocusShare } from './focus-runs.js';
import { levelLikelihood, wanderingLikelihood } from './level-likelihood.js';
import { isDim, type FrameFacts } from './night-series.js';

/** Whether a figure of a run changed steadily, or only wandered. */
export interface SteadyCourse {
  /** Change from the first to the last value along the fitted course. */
  readonly rise: number;
  /** Size of the change in its own errors. */
  readonly significance: number;
  /** How much more probable a steady course with scatter is than a wandering level without one: difference of log-likelihoods. */
  readonly steadier: number;
  /** The course at each value, its lowest point being 0. */
  readonly course: readonly number[];
}

/** The widths of a run: ln(FWHM), airmass taken out, so that 0.1 is 10 %. */
export interface SteadyRise extends SteadyCourse {
  readonly facts: readonly FrameFacts[];
}

/** Shapes of a steady change: slow to start, even, and levelling off. */
const SHAPES: readonly ((x: number) => number)[] = [(x) => x, (x) => x * x, Math.sqrt];
const FEWEST_FRAMES = 6;
/** Least scatter of ln(FWHM) that is believed. */
const LEAST_SCATTER = 0.008;

/**
 * Does the width of the stars change steadily over a run? Shaken frames are left out. Null with fewer than six others.
 */
export function steadyRise(facts: readonly FrameFacts[]): SteadyRise | null {
  // Dimmed frames keep their width at half maximum: only shaken ones are left out.
  const used = facts.filter((f) => f.frame.fwhm.px !== null && (!f.disturbed || isDim(f.frame)));
  const course = steadyCourse(
    used.map((f, k) => f.hours ?? k),
    used.map((f) => Math.log(seeingAtZenith(f.frame.fwhm.px ?? NaN, frameAirmass(f.frame) ?? 1))),
    LEAST_SCATTER,
  );
  return course === null ? null : { ...course, facts: used };
}

/**
 * Compare two accounts of a series, with as many parameters each: a steady course with independent scatter, and a level that wanders at
 * random (see `levelLikelihood`). Null with fewer than six values or when time stands still.
 */
export function steadyCourse(
  times: readonly number[],
  y: readonly number[],
  leastScatter: number,
): SteadyCourse | null {
  const span = (times[times.length - 1] ?? 0) - (times[0] ?? 0);
  if (y.length < FEWEST_FRAMES || !(span > 0)) return null;
  const x = times.map((t) => (t - times[0]) / span);
  let best: Omit<SteadyCourse, 'steadier'> | null = null;
  let likelihood = -Infinity;
  for (const shape of SHAPES)
    for (const backwards of [false, true]) {
      const along = x.map((at) => (backwards ? 1 - shape(1 - at) : shape(at)));
      const { m } = linearRegression(along.map((at, k) => [at, y[k]]));
      const rest = y.map((value, k) => value - m * along[k]);
      const found = levelLikelihood(rest, 0, leastScatter);
      if (found <= likelihood) continue;
      likelihood = found;
      const [middle, centre] = [mean(rest), mean(along)];
      const scatter = Math.sqrt(rest.reduce((sum, r) => sum + (r - middle) ** 2, 0) / (y.length - 2));
      const lever = Math.sqrt(along.reduce((sum, at) => sum + (at - centre) ** 2, 0));
      best = {
        rise: m,
        significance: (Math.abs(m) * lever) / Math.max(leastScatter, scatter),
        course: along.map((at) => m * at - Math.min(0, m)),
      };
    }
  // Several shapes were tried.
  return best === null
    ? null
    : { ...best, steadier: likelihood - wanderingLikelihood(y, leastScatter) - 0.5 };
}

/** Log-odds of a steady cause from the course alone; negative where the figure wanders or does not change. */
export function steadyLogOdds(course: SteadyCourse | null): number {
  if (course === null) return -3;
  return bounded(0.9 * course.steadier, 3) + bounded(course.significance - 4.5, 2) - 0.3;
}

/** Log-odds of a drift of focus that a steady course alone can earn: air that worsens evenly looks the same in the widths. */
const COURSE_ALONE = -0.4;
/** The same where the temperature went one way beside it. */
const COURSE_AND_COOLING = 0.2;
/** Widening (natural logarithm) from which, and by which, air is no longer thought of: it seldom worsens so far so evenly (common practice, no source). */
const FAR = { from: 0.3, wholly: 0.6 };
/** What so large a rise adds to that, and takes from the veto of stars that keep their wings. */
const FAR_COURSE = 1;
const FAR_SHAPE = 2.5;

/**
 * Log-odds that a steady rise of the widths is a drift of focus: its course, and the shape of the stars.
 */
export function steadyDriftLogOdds(rise: SteadyRise | null, share: DefocusShare | null): number {
  if (rise === null) return steadyLogOdds(null);
  // A focuser that was moved on the way ends one drift and starts another: no steady course of the night is focus then.
  const moved = new Set(rise.facts.map((f) => f.frame.header.focuserPosition)).size > 1;
  // Air settles in the course of a night; focus that drifts to its best place by itself is rare.
  const narrowing = rise.rise < 0 ? 1.5 : 0;
  const far = Math.max(0, Math.min(1, (rise.rise - FAR.from) / (FAR.wholly - FAR.from)));
  const shape = defocusLogOdds(share);
  const veto = Math.min(0, shape + FAR_SHAPE * far);
  const odds = steadyLogOdds(rise) + (shape < 0 ? veto : Math.min(shape, 1.5));
  const most = (cooled(rise.facts) ? COURSE_AND_COOLING : COURSE_ALONE) + FAR_COURSE * far;
  return Math.min(odds, most + 2 * Math.max(0, shape)) - narrowing - (moved ? 3 : 0);
}

/** Did the temperature move one way over the run, by a degree or more? */
function cooled(facts: readonly FrameFacts[]): boolean {
  const temperatures = facts.flatMap((f) => f.temperatureC ?? []);
  return (
    temperatures.length === facts.length &&
    Math.abs(temperatures[temperatures.length - 1] - temperatures[0]) >= 1
  );
}

/** The course at any frame of the run, those left out of the fit included (between their neighbours in time); 0 where there is none. */
export function courseAt(rise: SteadyRise | null, fact: FrameFacts): number {
  if (rise === null) return 0;
  const at = rise.facts.indexOf(fact);
  if (at >= 0) return rise.course[at];
  const before = rise.facts.findLastIndex((f) => (f.hours ?? 0) <= (fact.hours ?? 0));
  return rise.course[Math.max(0, before)];
}
