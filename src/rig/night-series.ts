import { UsageError } from '../errors.js';
import { jointFitMetrics } from './night-figures.js';
import { rigNights } from './rig-nights.js';
import type { RigStore } from './store.js';
import type { MetricCode, NightPoint } from './types.js';

export interface SeriesRange {
  /** First and last evening date, YYYY-MM-DD; null or absent: no limit. */
  readonly since?: string | null;
  readonly until?: string | null;
  /** Only frames through this filter (figures of the joint fit are the same for all). */
  readonly filter?: string | null;
}

/** Night figures of a rig by metric, each in order of date; a metric without any is absent. UsageError for a filter the rig never used. */
export function nightSeries(
  store: RigStore,
  rigId: string,
  range: SeriesRange = {},
): Map<MetricCode, NightPoint[]> {
  const nights = rigNights(store, rigId, range);
  const filter = range.filter ? knownFilter(store, range.filter) : '';
  const joint = new Set<string>(filter === '' ? [] : jointFitMetrics);
  const placeOf = new Map(nights.map(({ id }, place) => [id, place]));
  // One pass over the table: asking for each night by itself takes several times as long.
  const rows = store.db
    .prepare(
      "SELECT nightId, filter, metric, value, spread, error, frames FROM figure WHERE filter IN (?, '')",
    )
    .all(filter) as ({ filter: string; metric: MetricCode } & NightPoint)[];
  const found = rows
    .filter(({ nightId }) => placeOf.has(nightId))
    .filter((row) => filter === '' || joint.has(row.metric) !== (row.filter === filter))
    .sort((a, b) => placeOf.get(a.nightId)! - placeOf.get(b.nightId)!);
  const series = new Map<MetricCode, NightPoint[]>();
  for (const { nightId, metric, value, spread, error, frames } of found) {
    const points = series.get(metric) ?? [];
    points.push({ nightId, date: nights[placeOf.get(nightId)!].date, value, spread, error, frames });
    series.set(metric, points);
  }
  return series;
}

function knownFilter(store: RigStore, wanted: string): string {
  const known = store.db
    .prepare("SELECT DISTINCT filter FROM figure WHERE filter <> ''")
    .pluck()
    .all() as string[];
  const found = known.find((filter) => filter.toLowerCase() === wanted.toLowerCase());
  if (found !== undefined) return found;
  throw new UsageError(
    `no night was recorded through a filter called "${wanted}"`,
    known.length === 0 ? 'The recorded headers name no filter.' : `Recorded filters: ${known.join(', ')}.`,
  );
}
