import { metrics } from './metrics.js';
import { nightSeries } from './night-series.js';
import { rigNights } from './rig-nights.js';
import { listRigs } from './rigs.js';
import { frameColumns } from './schema.js';
import type { RigStore } from './store.js';
import type { NightPoint } from './types.js';

type Cells = readonly (string | number | null)[];

/** Night figures as rows of a table: titles first, then a row a rig and night, a column a metric with its error beside it. */
export function* nightRows(store: RigStore): Generator<Cells> {
  const codes = metrics.map((metric) => metric.code);
  yield ['rig', 'rig_id', 'night', ...codes.flatMap((code) => [code, `${code}_error`])];
  for (const rig of listRigs(store)) {
    const byNight = new Map<string, Map<string, NightPoint>>();
    for (const [code, points] of nightSeries(store, rig.id)) {
      for (const point of points) {
        byNight.set(point.nightId, (byNight.get(point.nightId) ?? new Map()).set(code, point));
      }
    }
    for (const night of rigNights(store, rig.id)) {
      const figures = byNight.get(night.id);
      const cells = codes.flatMap((code) => [
        figures?.get(code)?.value ?? null,
        figures?.get(code)?.error ?? null,
      ]);
      yield [rig.name, rig.id, night.date, ...cells];
    }
  }
}

/** Every recorded frame as rows of a table: titles first, then in order of time within each night. */
export function* frameRows(store: RigStore): Generator<Cells> {
  const names = Object.keys(frameColumns);
  yield ['rig', 'night', ...names];
  const frames = store.db.prepare('SELECT * FROM frame WHERE nightId = ? ORDER BY dateObs, identity');
  for (const rig of listRigs(store)) {
    for (const night of rigNights(store, rig.id)) {
      for (const row of frames.iterate(night.id)) {
        const values = row as Record<string, string | number | null>;
        yield [rig.name, night.date, ...names.map((name) => values[name])];
      }
    }
  }
}
