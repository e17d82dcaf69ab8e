import { median } from 'simple-statistics';
import { hodgesLehmann, mannWhitney, secondSampleForPower } from '../stats/index.js';
import { version } from '../version.js';
import { comparisonSentence } from './comparison-sentence.js';
import { metricChanges } from './metric-changes.js';
import { chooseMetrics, type Metric } from './metrics.js';
import { nightSeries } from './night-series.js';
import { listNotes } from './notes.js';
import { rigNights } from './rig-nights.js';
import type { RigStore } from './store.js';
import type { MetricComparison, NightPoint, RigComparison, RigNote } from './types.js';

/** Evening dates, both counted; null: open. */
export interface DateRange {
  readonly from: string | null;
  readonly to: string | null;
}

/** Nights by which a step found may miss the true one. */
const NEAR_NIGHTS = 4;

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
    const test = testMetric(metric, alone.before, alone.after, alone);
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
};

function testMetric(
  metric: Metric,
  before: readonly NightPoint[],
  after: readonly NightPoint[],
  { since, until }: { readonly since: string | null; readonly until: string | null },
): Tested | null {
  const [a, b] = [before.map((point) => point.value), after.map((point) => point.value)];
  const test = mannWhitney(a, b);
  const shift = hodgesLehmann(a, b);
  if (!test || !shift) return null;
  return {
    metric: metric.code,
    title: metric.title,
    unit: metric.unit,
    decimals: metric.decimals,
    subject: metric.subject,
    before: { nights: a.length, median: median(a), since },
    after: { nights: b.length, median: median(b), until },
    p: test.p,
    superiority: test.superiority,
    elsewhere: movedElsewhere(before, after),
    definition: metric,
    ...shift,
  };
}

function conclude(tested: Tested, limit: number, note: RigNote | null): MetricComparison {
  const { definition, superiority, ...rest } = tested;
  const told = rest.p <= limit && rest.low !== null && rest.high !== null && rest.low * rest.high > 0;
  const needed = told ? null : secondSampleForPower(superiority, rest.before.nights);
  const comparison = {
    ...rest,
    verdict: told ? verdictOf(definition, rest) : ('cannot-tell' as const),
    moreNights: needed === null ? null : Math.max(1, needed - rest.after.nights),
  };
  return { ...comparison, sentence: comparisonSentence(definition, comparison, note) };
}

function verdictOf(
  metric: Metric,
  { before, after, elsewhere }: Omit<Tested, 'definition' | 'superiority'>,
): 'better' | 'worse' | 'changed' {
  // What moved at another time is no merit or fault of the change in question.
  if (metric.better === null || metric.subject === 'sky' || elsewhere) return 'changed';
  const size = (value: number) => (metric.better === 'zero' ? Math.abs(value) : value);
  const gain = size(before.median) - size(after.median);
  return (metric.better === 'higher' ? -gain : gain) > 0 ? 'better' : 'worse';
}

/**
 * The nights nearest to a change on either side: those before an earlier change of the figure, and after a later one, tell nothing
 * about this one. A side with hardly any such nights is left whole.
 */
function changeAlone(
  before: readonly NightPoint[],
  after: readonly NightPoint[],
): {
  readonly before: readonly NightPoint[];
  readonly after: readonly NightPoint[];
  readonly since: string | null;
  readonly until: string | null;
} {
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

/** A difference between two ranges may come from a change within one of them, or a drift through both: looked for in the joined series. */
function movedElsewhere(
  before: readonly NightPoint[],
  after: readonly NightPoint[],
): { date: string | null } | null {
  if (before.length + after.length < 16 || (before.at(-1)?.date ?? '') >= (after[0]?.date ?? '')) return null;
  const joined = [...before, ...after];
  const { changes, driftPerMonth } = metricChanges(joined, []);
  const distance = (date: string) =>
    Math.abs(joined.findIndex((point) => point.date === date) - before.length);
  if (changes.some((change) => distance(change.date) <= NEAR_NIGHTS)) return null;
  if (changes.length > 0) return { date: changes[0].date };
  return driftPerMonth === 0 ? null : { date: null };
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
