import { mean } from 'simple-statistics';
import { seeingAtZenith } from '../optics/index.js';
import { bounded } from './confidence.js';
import { frameAirmass } from './extinction.js';
import { isDim, type FrameFacts, type NightSeries } from './night-series.js';

/** Frames on each side of a move of the focuser that are compared. */
const NEIGHBOURS = 2;
/** Scatter of ln(FWHM) from frame to frame that seeing gives (seen in simulated and real nights: 0.03 to 0.08). */
const SEEING_SCATTER = 0.06;
/** A move of the focuser need not have been a good one: it never decides alone. */
const MOST = 2.5;
/** Widening of a run from which the test says anything. */
const LEAST_COURSE = 0.03;
const LONGEST_PAUSE_HOURS = 1;

/**
 * Log-odds of a drift of focus from what the next setting of the focuser did: softness that was focus goes away with it, air stays as it is.
 *
 * @param facts frames of the run, in order of time
 * @param course ln of the widening that the drift gives each of them
 * 0 where no move of the focuser follows in the same group and night, or the drift has widened the last frames by under 3 %.
 */
export function reboundLogOdds(
  night: NightSeries,
  facts: readonly FrameFacts[],
  course: readonly number[],
): number {
  const used = facts.flatMap((fact, k) => (isPlain(fact) ? [{ fact, course: course[k] }] : []));
  const before = used.slice(-NEIGHBOURS);
  if (before.length === 0) return 0;
  const last = facts[facts.length - 1];
  const after = night.facts.filter((f) => follows(f, last) && isPlain(f)).slice(0, NEIGHBOURS);
  const position = after[0]?.frame.header.focuserPosition ?? null;
  if (position === null || position === last.frame.header.focuserPosition) return 0;
  const widened = mean(before.map((b) => b.course)) - Math.min(...course);
  if (widened < LEAST_COURSE) return 0;
  const change = mean(after.map(logWidth)) - mean(before.map((b) => logWidth(b.fact)));
  const variance = SEEING_SCATTER ** 2 * (1 / before.length + 1 / after.length);
  return bounded((change ** 2 - (change + widened) ** 2) / (2 * variance), MOST);
}

function follows(fact: FrameFacts, last: FrameFacts): boolean {
  return (
    fact.frame.group === last.frame.group &&
    fact.night === last.night &&
    fact.hours !== null &&
    last.hours !== null &&
    fact.hours > last.hours &&
    fact.hours - last.hours < LONGEST_PAUSE_HOURS
  );
}

function isPlain(fact: FrameFacts): boolean {
  return fact.frame.fwhm.px !== null && (!fact.disturbed || isDim(fact.frame));
}

function logWidth(fact: FrameFacts): number {
  return Math.log(seeingAtZenith(fact.frame.fwhm.px ?? NaN, frameAirmass(fact.frame) ?? 1));
}
