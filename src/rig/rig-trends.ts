import { version } from '../package-root.js';
import { metricTrend } from './metric-trend.js';
import { chooseMetrics } from './metrics.js';
import { nightSeries, type SeriesRange } from './night-series.js';
import { allMarks } from './notes.js';
import type { RigStore } from './store.js';
import type { MetricTrend, RigTrends } from './types.js';

/** Trends of a rig over its nights, for the named metrics (all that were measured for an empty list). UsageError for an unknown name or filter. */
export function rigTrends(
  store: RigStore,
  rig: { readonly id: string; readonly name: string },
  metricNames: readonly string[] = [],
  range: SeriesRange = {},
): RigTrends {
  const chosen = chooseMetrics(metricNames);
  const series = nightSeries(store, rig.id, range);
  const notes = allMarks(store, rig.id);
  const trends: MetricTrend[] = [];
  const absent: Record<string, string> = {};
  for (const metric of chosen) {
    const points = series.get(metric.code);
    if (points) trends.push(metricTrend(metric, points, notes));
    else absent[metric.code] = 'not measured on any of these nights';
  }
  return {
    schema: 'starassay/rig-trend@1',
    version,
    rig: { id: rig.id, name: rig.name },
    since: range.since ?? null,
    until: range.until ?? null,
    filter: range.filter ?? null,
    notes,
    metrics: trends,
    absent,
  };
}
