import { median } from 'simple-statistics';
import { version } from '../package-root.js';
import { metricChanges, type MetricChanges } from './metric-changes.js';
import { metrics, type Metric } from './metrics.js';
import { nightSeries } from './night-series.js';
import { FEWEST_NIGHTS, isOwnDoing, normalRange, normalStretchIndex } from './normals.js';
import { allMarks } from './notes.js';
import { rigNights } from './rig-nights.js';
import { plainNumber } from './sentences.js';
import type { RigStore } from './store.js';
import type {
  FoundChange,
  MetricCode,
  MetricStatus,
  NightPoint,
  NormalFigure,
  RigNote,
  RigStatus,
} from './types.js';

/** An improvement is news for so many nights, then it is the normal. */
const NEWS_NIGHTS = 20;

/** What is normal for a rig, what left its normal range, since when and after which note. */
export function rigStatus(store: RigStore, rig: { readonly id: string; readonly name: string }): RigStatus {
  const notes = allMarks(store, rig.id);
  const series = nightSeries(store, rig.id);
  const nights = rigNights(store, rig.id);
  const found: MetricStatus[] = [];
  const absent: Partial<Record<MetricCode, string>> = {};
  for (const metric of metrics) {
    const points = series.get(metric.code) ?? [];
    const status = metricStatus(metric, points, notes);
    if (status) found.push(status);
    else {
      absent[metric.code] =
        points.length === 0
          ? 'not measured yet'
          : `only ${points.length} ${points.length === 1 ? 'night' : 'nights'} so far on the present level; ${FEWEST_NIGHTS} are needed to call something normal`;
    }
  }
  return {
    schema: 'starassay/rig-status@1',
    version,
    rig: { id: rig.id, name: rig.name },
    nights: new Set(nights.map((night) => night.date)).size,
    firstNight: nights[0]?.date ?? null,
    lastNight: nights.at(-1)?.date ?? null,
    metrics: found,
    absent,
  };
}

/** The state of one figure; null while there are too few nights to call anything normal. */
export function metricStatus(
  metric: Metric,
  points: readonly NightPoint[],
  notes: readonly RigNote[],
): MetricStatus | null {
  const changes = isOwnDoing(metric) ? metricChanges(points, notes) : metricChanges([], []);
  const normal = normalRange(metric, points, changes);
  if (!normal) return null;
  const now = levelNow(metric, points, changes);
  const { state, change } = stateOf(metric, points, changes, normal);
  const since =
    state === 'normal'
      ? null
      : state === 'last-night'
        ? points[points.length - 1].date
        : (change?.date ?? points[0].date);
  const status = {
    metric: metric.code,
    title: metric.title,
    unit: metric.unit,
    decimals: metric.decimals,
    subject: metric.subject,
    normal,
    now,
    state,
    since,
    note: change?.note ?? null,
    driftPerMonth: changes.driftPerMonth,
  };
  return { ...status, sentence: sentence(metric, status, points) };
}

function levelNow(metric: Metric, points: readonly NightPoint[], changes: MetricChanges): number {
  const from = isOwnDoing(metric) ? changes.changes.at(-1)?.date : undefined;
  const recent = points.filter((point) => from === undefined || point.date >= from).slice(-10);
  return median(recent.map((point) => point.value));
}

function stateOf(
  metric: Metric,
  points: readonly NightPoint[],
  changes: MetricChanges,
  normal: NormalFigure,
): { state: MetricStatus['state']; change: FoundChange | null } {
  const last = points[points.length - 1].value;
  // A night better than usual is no alarm.
  const lastOut =
    (last > normal.high && metric.better !== 'higher') || (last < normal.low && metric.better !== 'lower');
  // Seasons move the sky: its lasting changes are no news about the rig.
  if (!isOwnDoing(metric)) return { state: lastOut ? 'last-night' : 'normal', change: null };
  const index = normalStretchIndex(metric, changes);
  if (index < changes.changes.length) {
    const level = changes.stretches[changes.stretches.length - 1].endLevel;
    const [change] = changes.changes.slice(index);
    if (change.kind === 'bend' && index === changes.changes.length - 1 && drifting(metric, changes))
      return { state: 'drifting', change };
    // Back within the limits though not on the very level: normal again.
    if (level > normal.high || level < normal.low || Math.abs(level - normal.median) > 1.5 * normal.sigma) {
      return { state: 'left', change };
    }
    return { state: 'normal', change: null };
  }
  if (drifting(metric, changes)) return { state: 'drifting', change: changes.changes.at(-1) ?? null };
  if (lastOut) return { state: 'last-night', change: null };
  const news = changes.changes.at(-1);
  const recent =
    news?.kind === 'step' && points.filter((point) => point.date >= news.date).length <= NEWS_NIGHTS;
  return recent ? { state: 'improved', change: news } : { state: 'normal', change: null };
}

/** A drift for the worse. */
function drifting(metric: Metric, changes: MetricChanges): boolean {
  const drift = changes.driftPerMonth;
  if (drift === 0) return false;
  if (metric.better === 'lower') return drift > 0;
  if (metric.better === 'higher') return drift < 0;
  return true;
}

function sentence(
  metric: Metric,
  status: Omit<MetricStatus, 'sentence'>,
  points: readonly NightPoint[],
): string {
  const { normal, state, since, note } = status;
  const value = (n: number) => plainNumber(n, metric.decimals);
  const unit = metric.unit === '' ? '' : ` ${metric.unit}`;
  const after = note ? ` (${note.kind === 'logged' ? `note ${note.number}: ` : ''}${note.text})` : '';
  const range = `${value(normal.low)} to ${value(normal.high)}${unit}`;
  if (state === 'left') {
    return `${metric.title} left its normal level of ${value(normal.median)}${unit} on ${since}${after}: now ${value(status.now)}${unit}.`;
  }
  if (state === 'improved')
    return `${metric.title} improved on ${since}${after}: now ${value(status.now)}${unit}.`;
  if (state === 'drifting') {
    const perYear = (status.driftPerMonth * 365.25) / 30;
    const start = since === null || since === points[0].date ? '' : ` since ${since}`;
    return `${metric.title} drifts steadily${start} by ${perYear > 0 ? '+' : ''}${value(perYear)}${unit} a year: from ${value(normal.median)} to ${value(status.now)}${unit}.`;
  }
  if (state === 'last-night') {
    return `${metric.title} was ${value(points[points.length - 1].value)}${unit} on the last night, outside its normal ${range}.`;
  }
  return `${metric.title} is normal: ${value(status.now)}${unit}, normal ${range}.`;
}
