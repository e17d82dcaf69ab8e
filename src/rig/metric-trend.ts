import { mannKendall, theilSen } from '../stats/index.js';
import { metricChanges, months } from './metric-changes.js';
import type { Metric } from './metrics.js';
import { isOwnDoing } from './normals.js';
import type { MetricTrend, NightPoint, RigNote } from './types.js';

/**
 * What a series of night figures says: slope, significance, lasting changes, and control limits for each stretch between them.
 * `points` in order of date; few points leave parts null or empty.
 */
export function metricTrend(
  metric: Metric,
  points: readonly NightPoint[],
  notes: readonly RigNote[],
): MetricTrend {
  // What the sky does is not put down to a change of the rig.
  const changes = metricChanges(points, isOwnDoing(metric) ? notes : []);
  const values = points.map((point) => point.value);
  const last = changes.changes.at(-1);
  const recent = last ? points.filter((point) => point.date >= last.date) : [];
  return {
    metric: metric.code,
    title: metric.title,
    unit: metric.unit,
    decimals: metric.decimals,
    subject: metric.subject,
    points,
    slopePerMonth: theilSen(months(points), values),
    slopeSinceChange: recent.length > 0 ? theilSen(months(recent), values.slice(-recent.length)) : null,
    mannKendall: mannKendall(months(points), values),
    ...changes,
  };
}
