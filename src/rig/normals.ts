import { median, medianAbsoluteDeviation, sampleStandardDeviation } from 'simple-statistics';
import { metricChanges, nightChart, type MetricChanges } from './metric-changes.js';
import { metrics, type Metric } from './metrics.js';
import { nightSeries } from './night-series.js';
import { allMarks } from './notes.js';
import type { RigStore } from './store.js';
import type { MetricCode, NightPoint, NormalFigure, RigNormals } from './types.js';

/** Nights needed before anything is called normal. */
export const FEWEST_NIGHTS = 8;

/**
 * What is normal for a rig: for each figure the level and the control limits of its nights; `rig.id` as `findRig` gives it.
 *
 * @param except evening dates of nights that are not asked
 */
export function rigNormals(
  store: RigStore,
  rig: { readonly id: string; readonly name: string },
  except: ReadonlySet<string> = new Set(),
): RigNormals {
  const notes = allMarks(store, rig.id);
  const series = nightSeries(store, rig.id);
  const figures: Partial<Record<MetricCode, NormalFigure>> = {};
  for (const metric of metrics) {
    const points = (series.get(metric.code) ?? []).filter((point) => !except.has(point.date));
    const changes = isOwnDoing(metric) ? metricChanges(points, notes) : metricChanges([], []);
    const normal = normalRange(metric, points, changes);
    if (normal) figures[metric.code] = normal;
  }
  return { rigId: rig.id, rigName: rig.name, figures };
}

/**
 * The normal range of one figure.
 *
 * The rig's own figures: the stretch in force before things last got worse, so an improvement sets a new normal and a deterioration does
 * not; with a drift, the first quarter of it. Figures that the sky sways: all nights (`changes` are not looked at), limits by median and
 * MAD of the logarithm.
 * Null with fewer than eight nights on that level.
 */
export function normalRange(
  metric: Metric,
  points: readonly NightPoint[],
  changes: MetricChanges,
): NormalFigure | null {
  const skyTooToBlame = !isOwnDoing(metric);
  const chosen = skyTooToBlame ? points : normalStretch(metric, points, changes);
  if (chosen.length < FEWEST_NIGHTS) return null;
  const values = chosen.map((point) => point.value);
  const { centre, sigma } = skyTooToBlame ? skyRange(values) : chartRange(values);
  const limits = skyTooToBlame
    ? { low: centre * Math.exp(-3 * sigma), high: centre * Math.exp(3 * sigma) }
    : { low: centre - 3 * sigma, high: centre + 3 * sigma };
  return {
    metric: metric.code,
    title: metric.title,
    unit: metric.unit,
    decimals: metric.decimals,
    median: centre,
    low: metric.least === null ? limits.low : Math.max(metric.least, limits.low),
    high: metric.unit === '%' && metric.better === 'higher' ? Math.min(100, limits.high) : limits.high,
    sigma: skyTooToBlame ? sigma * centre : sigma,
    nights: chosen.length,
    from: chosen[0].date,
    to: chosen[chosen.length - 1].date,
  };
}

/** Is the figure the rig's own doing, the sky taken out? Only then do its lasting changes say something about the rig. */
export function isOwnDoing(metric: Metric): boolean {
  return metric.subject !== 'sky' && metric.subject !== 'all';
}

/** Index of the stretch whose level is the rig's normal one. */
export function normalStretchIndex(metric: Metric, changes: MetricChanges): number {
  let normal = 0;
  changes.changes.forEach((change, k) => {
    // A drift counts by where it led.
    const [level, after] = [changes.stretches[normal].endLevel, changes.stretches[k + 1].endLevel];
    const better =
      metric.better === 'lower'
        ? after < level
        : metric.better === 'higher'
          ? after > level
          : metric.better === 'zero'
            ? Math.abs(after) < Math.abs(level)
            : change.note?.kind === 'logged';
    // A first stretch too short to be called normal gives way to the next, whichever way it went.
    if (better || changes.stretches[normal].nights < FEWEST_NIGHTS) normal = k + 1;
  });
  return normal;
}

function normalStretch(
  metric: Metric,
  points: readonly NightPoint[],
  changes: MetricChanges,
): readonly NightPoint[] {
  const stretch = changes.stretches[normalStretchIndex(metric, changes)];
  if (!stretch) return [];
  const nights = points.filter((point) => point.date >= stretch.from && point.date <= stretch.to);
  if (stretch.driftPerMonth === 0) return nights;
  return nights.slice(0, Math.max(FEWEST_NIGHTS, Math.ceil(nights.length / 4)));
}

function chartRange(values: readonly number[]): { centre: number; sigma: number } {
  const chart = nightChart(values);
  return { centre: chart?.centre ?? NaN, sigma: chart?.sigma ?? NaN };
}

/** Centre, and sigma of the logarithm: widths and brightnesses are skewed to the high side. */
function skyRange(values: readonly number[]): { centre: number; sigma: number } {
  const logs = values.map((value) => Math.log(Math.max(value, 1e-9)));
  return {
    centre: median([...values]),
    sigma: 1.4826 * medianAbsoluteDeviation(logs) || sampleStandardDeviation(logs),
  };
}
