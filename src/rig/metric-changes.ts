import { findSteps, individualsChart, type IndividualsChart } from '../stats/index.js';
import type { FoundChange, NightPoint, RigNote, Stretch } from './types.js';

/** Days in the month that slopes are quoted for. */
export const DAYS_PER_MONTH = 30;

/** A note explains a change that shows at most this many nights before it (a date typed late) ... */
const NIGHTS_BEFORE_NOTE = 2;
/** ... or on the nights after it, as far as a step can be placed. */
const NIGHTS_AFTER_NOTE = 4;

/** Days since 1970 of a date YYYY-MM-DD. */
export function dayNumber(date: string): number {
  return Date.parse(`${date}T00:00:00Z`) / 86_400_000;
}

/** The lasting changes of a series, the stretches between them with their control limits, and the nights outside those. */
export interface MetricChanges {
  readonly changes: readonly FoundChange[];
  readonly stretches: readonly Stretch[];
  /** Drift within the last stretch, unit per 30 days. */
  readonly driftPerMonth: number;
  /** Nights outside the control limits of their own stretch. */
  readonly outliers: readonly string[];
}

/** Changes found in a series of night figures, in order of date; `notes` are used to name what a change may be due to. No points: all empty. */
export function metricChanges(points: readonly NightPoint[], notes: readonly RigNote[]): MetricChanges {
  if (points.length === 0) return { changes: [], stretches: [], driftPerMonth: 0, outliers: [] };
  const values = points.map((point) => point.value);
  const { steps, drifts } = findSteps(months(points), values);
  const changes = steps.map((step): FoundChange => ({
    kind: step.kind,
    date: points[step.index].date,
    previousDate: points[step.index - 1].date,
    before: step.before,
    after: step.after,
    size: step.size,
    error: step.error,
    note: step.kind === 'step' ? noteFor(points, step.index, notes) : null,
  }));
  const starts = [0, ...steps.map((step) => step.index)];
  const parts = starts.map((start, k) => points.slice(start, starts[k + 1]));
  const stretches = parts.map((part, k) => stretch(part, drifts[k]));
  const outliers = parts.flatMap((part, k) => outside(part, stretches[k]));
  return { changes, stretches, driftPerMonth: drifts[drifts.length - 1], outliers };
}

/** Months (of 30 days) since the first point. */
export function months(points: readonly NightPoint[]): number[] {
  const days = points.map((point) => dayNumber(point.date));
  return days.map((day) => (day - days[0]) / DAYS_PER_MONTH);
}

function stretch(points: readonly NightPoint[], drift: number): Stretch {
  // Limits of a drifting figure belong to its level with the drift taken out; they are quoted for the middle of the stretch.
  const level = withoutDrift(points, drift);
  const middle = level.reduce((sum, value) => sum + value, 0) / level.length;
  const half = (drift * months(points)[points.length - 1]) / 2;
  return {
    from: points[0].date,
    to: points[points.length - 1].date,
    nights: points.length,
    driftPerMonth: drift,
    startLevel: middle - half,
    endLevel: middle + half,
    chart: nightChart(level),
  };
}

/** Control limits of single nights; where most are alike to the last digit, the few that are not still give a range. Null under two nights. */
export function nightChart(values: readonly number[]): IndividualsChart | null {
  const robust = individualsChart(values, 'median');
  if (robust === null || robust.sigma > 0) return robust;
  const { sigma } = individualsChart(values, 'mean')!;
  const { centre } = robust;
  return { ...robust, sigma, lowerLimit: centre - 3 * sigma, upperLimit: centre + 3 * sigma };
}

function outside(points: readonly NightPoint[], { chart, driftPerMonth }: Stretch): string[] {
  // Limits from a handful of nights are too uncertain to call a night odd.
  if (!chart || points.length < 8) return [];
  const level = withoutDrift(points, driftPerMonth);
  return points
    .filter((_, i) => level[i] > chart.upperLimit || level[i] < chart.lowerLimit)
    .map((point) => point.date);
}

function withoutDrift(points: readonly NightPoint[], drift: number): number[] {
  const times = months(points);
  const middle = (times.at(-1) ?? 0) / 2;
  return points.map((point, i) => point.value - drift * (times[i] - middle));
}

/** The note nearest to a change, if it lies within the nights by which a step can be misplaced. */
function noteFor(points: readonly NightPoint[], index: number, notes: readonly RigNote[]): RigNote | null {
  const near = notes
    .map((note) => {
      const first = points.findIndex((point) => point.date >= note.date);
      return { note, nights: index - (first < 0 ? points.length : first) };
    })
    .filter(({ nights }) => nights >= -NIGHTS_BEFORE_NOTE && nights <= NIGHTS_AFTER_NOTE)
    .sort(
      (a, b) =>
        Math.abs(a.nights) - Math.abs(b.nights) ||
        Number(b.note.kind === 'logged') - Number(a.note.kind === 'logged'),
    );
  return near[0]?.note ?? null;
}
