import { DAYS_PER_MONTH, dayNumber, metricChanges, months } from './metric-changes.js';
import type { MetricComparison, NightPoint, Stretch } from './types.js';

/** Nights by which a step found may miss the true one. */
const NEAR_NIGHTS = 4;

/** What is left of two ranges when only what happened between them is asked for. */
export interface ChangeAlone {
  readonly before: readonly NightPoint[];
  readonly after: readonly NightPoint[];
  /** The dates that cut the ranges; null: whole. */
  readonly since: string | null;
  readonly until: string | null;
}

/**
 * The nights nearest to a change on either side: those before an earlier change of the figure, and after a later one, tell nothing
 * about this one. A side with hardly any such nights is left whole.
 */
export function changeAlone(before: readonly NightPoint[], after: readonly NightPoint[]): ChangeAlone {
  const last = metricChanges(before, []).changes.at(-1)?.date ?? null;
  const next = metricChanges(after, []).changes[0]?.date ?? null;
  const nearBefore = last === null ? [] : before.filter((point) => point.date >= last);
  const nearAfter = next === null ? [] : after.filter((point) => point.date < next);
  // A change found on the very edge is the change in question, misplaced by a night or two.
  const [cutBefore, cutAfter] = [nearBefore.length > NEAR_NIGHTS, nearAfter.length > NEAR_NIGHTS];
  return {
    before: cutBefore ? nearBefore : before,
    after: cutAfter ? nearAfter : after,
    since: cutBefore ? last : null,
    until: cutAfter ? next : null,
  };
}

/** The values of nights as they would stand at the change, a slow drift before or after it carried up to it. */
export interface AtTheChange {
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** Unit per 30 days. */
  readonly drifted: { readonly before: number; readonly after: number };
  /** Standard error that carrying the drift adds to the shift. */
  readonly error: number;
}

/** Carry the drift of either side, if it has one, to the change: otherwise the middle of a decay would be compared with its cure. */
export function atTheChange(before: readonly NightPoint[], after: readonly NightPoint[]): AtTheChange {
  const [left, right] = [onlyStretch(before), onlyStretch(after)];
  return {
    before: carried(before, left, before.at(-1)?.date),
    after: carried(after, right, after[0]?.date),
    drifted: { before: left?.driftPerMonth ?? 0, after: right?.driftPerMonth ?? 0 },
    error: Math.hypot(carryError(before, left), carryError(after, right)),
  };
}

function onlyStretch(points: readonly NightPoint[]): Stretch | null {
  const { stretches } = metricChanges(points, []);
  return stretches.length === 1 && stretches[0].driftPerMonth !== 0 ? stretches[0] : null;
}

function carried(points: readonly NightPoint[], stretch: Stretch | null, to = ''): number[] {
  return points.map(({ date, value }) =>
    stretch === null
      ? value
      : value + (stretch.driftPerMonth * (dayNumber(to) - dayNumber(date))) / DAYS_PER_MONTH,
  );
}

function carryError(points: readonly NightPoint[], stretch: Stretch | null): number {
  if (!stretch?.chart) return 0;
  const times = months(points);
  const middle = times.reduce((a, b) => a + b, 0) / times.length;
  const spread = times.reduce((sum, time) => sum + (time - middle) ** 2, 0);
  const reach = Math.max(middle, times[times.length - 1] - middle);
  return (stretch.chart.sigma / Math.sqrt(spread)) * reach;
}

/** A difference between two ranges may come from a step within one of them, or from a slow drift: looked for in the joined series. */
export function movedElsewhere(
  before: readonly NightPoint[],
  after: readonly NightPoint[],
): MetricComparison['elsewhere'] {
  if (before.length + after.length < 16 || (before.at(-1)?.date ?? '') >= (after[0]?.date ?? '')) return null;
  const joined = [...before, ...after];
  const { changes, stretches } = metricChanges(joined, []);
  const distance = (date: string) =>
    Math.abs(joined.findIndex((point) => point.date === date) - before.length);
  const steps = changes.filter((change) => change.kind === 'step');
  if (steps.some((step) => distance(step.date) <= NEAR_NIGHTS)) return null;
  if (steps.length > 0) return { date: steps[0].date, drift: null };
  const drift = stretches.find((stretch) => stretch.driftPerMonth !== 0);
  return drift ? { date: null, drift: { from: drift.from, to: drift.to } } : null;
}

/** Dates of the changes inside a range. */
export function changesWithin(points: readonly NightPoint[]): string[] {
  return metricChanges(points, []).changes.map((change) => change.date);
}
