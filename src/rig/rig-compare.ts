import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { hodgesLehmann, mannWhitney, secondSampleForPower } from '../stats/index.js';
import { version } from '../package-root.js';
import { atTheChange, changeAlone, changesWithin, movedElsewhere, type ChangeAlone } from './change-alone.js';
import { comparisonSentence } from './comparison-sentence.js';
import { chooseMetrics, type Metric } from './metrics.js';
import { nightSeries } from './night-series.js';
import { listNotes } from './notes.js';
import { isOwnDoing } from './normals.js';
import { rigNights } from './rig-nights.js';
import type { RigStore } from './store.js';
import type { MetricComparison, NightPoint, RigComparison, RigNote } from './types.js';

/** Evening dates, both counted; null: open. */
export interface DateRange {
  readonly from: string | null;
  readonly to: string | null;
}

/** Rate of wrong claims allowed among those made. */
const FALSE_CLAIMS = 0.05;

/** The nights before and after a note: back to the note before it and on to the next, so that one change is judged alone. */
export function rangesAroundNote(
  store: RigStore,
  rigId: string,
  note: RigNote,
): { before: DateRange; after: DateRange } {
  const dates = [...new Set(listNotes(store, rigId).map((other) => other.date))].sort();
  const place = dates.indexOf(note.date);
  return {
    before: { from: dates[place - 1] ?? null, to: dayBefore(note.date) },
    after: { from: note.date, to: dates[place + 1] ? dayBefore(dates[place + 1]) : null },
  };
}

/**
 * Compare a rig's nights in two ranges, figure by figure: Mann-Whitney test, Hodges-Lehmann shift with 95 % interval, and the finding in words.
 *
 * With several figures the tests are held to a false-discovery rate of 5 % (Benjamini & Hochberg 1995). Figures that either
 * range lacks are listed under `absent`. UsageError for an unknown figure or filter.
 */
export function rigCompare(
  store: RigStore,
  rig: { readonly id: string; readonly name: string },
  before: DateRange,
  after: DateRange,
  options: {
    readonly note?: RigNote | null;
    readonly metrics?: readonly string[];
    readonly filter?: string | null;
  } = {},
): RigComparison {
  const inRange = (range: DateRange) => ({ since: range.from, until: range.to, filter: options.filter });
  const [first, second] = [
    nightSeries(store, rig.id, inRange(before)),
    nightSeries(store, rig.id, inRange(after)),
  ];
  const absent: Record<string, string> = {};
  const tested: Tested[] = [];
  for (const metric of chooseMetrics(options.metrics ?? [])) {
    const [a, b] = [first.get(metric.code) ?? [], second.get(metric.code) ?? []];
    const alone = options.note ? changeAlone(a, b) : { before: a, after: b, since: null, until: null };
    const test = testMetric(metric, alone);
    if (test) tested.push(test);
    else {
      absent[metric.code] =
        a.length + b.length === 0
          ? 'not measured on any of these nights'
          : `not measured ${a.length === 0 ? 'before' : 'after'}`;
    }
  }
  const limit = discoveryLimit(tested.map((test) => test.p));
  const note = options.note ?? null;
  const count = (range: DateRange) =>
    new Set(rigNights(store, rig.id, inRange(range)).map((night) => night.date)).size;
  return {
    schema: 'starassay/rig-compare@1',
    version,
    rig: { id: rig.id, name: rig.name },
    note,
    before: { ...before, nights: count(before) },
    after: { ...after, nights: count(after) },
    metrics: tested.map((test) => conclude(test, limit, note)),
    absent,
  };
}

type Tested = Omit<MetricComparison, 'verdict' | 'moreNights' | 'sentence'> & {
  readonly definition: Metric;
  readonly superiority: number;
  /** Scatter from night to night about the two levels. */
  readonly scatter: number;
};

function testMetric(metric: Metric, alone: ChangeAlone): Tested | null {
  const { before, after, since, until } = alone;
  const elsewhere = movedElsewhere(before, after);
  const raw = {
    before: valuesOf(before),
    after: valuesOf(after),
    drifted: { before: 0, after: 0 },
    error: 0,
  };
  const { before: a, after: b, drifted, error } = elsewhere === null ? atTheChange(before, after) : raw;
  const test = mannWhitney(a, b);
  const shift = hodgesLehmann(a, b);
  if (!test || !shift) return null;
  const [levelBefore, levelAfter] = [median(a), median(b)];
  return {
    metric: metric.code,
    title: metric.title,
    unit: metric.unit,
    decimals: metric.decimals,
    subject: metric.subject,
    before: { nights: a.length, median: levelBefore, since },
    after: { nights: b.length, median: levelAfter, until },
    p: test.p,
    superiority: test.superiority,
    scatter:
      1.4826 * medianAbsoluteDeviation([...a.map((v) => v - levelBefore), ...b.map((v) => v - levelAfter)]),
    elsewhere,
    within: since === null && until === null ? [...changesWithin(before), ...changesWithin(after)] : [],
    drifted,
    definition: metric,
    shift: shift.shift,
    low: widened(shift.shift, shift.low, error),
    high: widened(shift.shift, shift.high, error),
  };
}

function valuesOf(points: readonly NightPoint[]): number[] {
  return points.map((point) => point.value);
}

/** An end of the interval with another error added, independent of the first. */
function widened(shift: number, end: number | null, error: number): number | null {
  if (end === null || error === 0) return end;
  return shift + Math.sign(end - shift) * Math.hypot(end - shift, 1.96 * error);
}

function conclude(tested: Tested, limit: number, note: RigNote | null): MetricComparison {
  const { definition, superiority, scatter, ...rest } = tested;
  const seen = rest.p <= limit && rest.low !== null && rest.high !== null && rest.low * rest.high > 0;
  // Real perhaps, but zero as the figure is printed and lost in the scatter of the nights: nothing to act on.
  const negligible = nearerEnd(rest) < 0.5 * 10 ** -definition.decimals && Math.abs(rest.shift) <= scatter;
  const told = seen && !negligible;
  const unchanged = smallAtMost(rest, scatter) || (seen && negligible);
  const needed = told ? null : secondSampleForPower(superiority, rest.before.nights);
  const comparison = {
    ...rest,
    verdict: told
      ? verdictOf(definition, rest)
      : unchanged
        ? ('unchanged' as const)
        : ('cannot-tell' as const),
    moreNights: needed === null ? null : Math.max(1, needed - rest.after.nights),
  };
  return { ...comparison, sentence: comparisonSentence(definition, comparison, note) };
}

function nearerEnd({ low, high }: { low: number | null; high: number | null }): number {
  return Math.min(Math.abs(low ?? 0), Math.abs(high ?? 0));
}

/** Is even the largest shift that the nights allow smaller than the scatter from one night to the next? */
function smallAtMost({ low, high }: { low: number | null; high: number | null }, scatter: number): boolean {
  return low !== null && high !== null && Math.max(Math.abs(low), Math.abs(high)) <= scatter;
}

function verdictOf(
  metric: Metric,
  { before, after, elsewhere }: Pick<Tested, 'before' | 'after' | 'elsewhere'>,
): 'better' | 'worse' | 'changed' {
  // What moved at another time is no merit or fault of the change in question.
  // So is what the sky sways.
  if (metric.better === null || !isOwnDoing(metric) || elsewhere) return 'changed';
  const size = (value: number) => (metric.better === 'zero' ? Math.abs(value) : value);
  const gain = size(before.median) - size(after.median);
  return (metric.better === 'higher' ? -gain : gain) > 0 ? 'better' : 'worse';
}

/** Largest p-value that still counts (Benjamini & Hochberg 1995); one test alone: 0.05. */
function discoveryLimit(pValues: readonly number[]): number {
  const sorted = [...pValues].sort((a, b) => a - b);
  let limit = FALSE_CLAIMS / Math.max(1, sorted.length);
  sorted.forEach((p, i) => {
    const allowed = (FALSE_CLAIMS * (i + 1)) / sorted.length;
    if (p <= allowed) limit = allowed;
  });
  return limit;
}

function dayBefore(date: string): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) - 86_400_000).toISOString().slice(0, 10);
}
