import { version } from '../version.js';
import { metrics } from './metrics.js';
import { nightSeries } from './night-series.js';
import { rigNights } from './rig-nights.js';
import { listRigs } from './rigs.js';
import { frameColumns } from './schema.js';
import type { RigStore } from './store.js';
import type { NightPoint } from './types.js';

/** Schema name in the first line of an export. */
export const EXPORT_SCHEMA = 'starassay/rig-history@1';

/** Tables of an export in the order in which they can be read back; `figure` is worked out anew from the frames. */
export const exportedTables = ['rig', 'train', 'night', 'frame', 'note', 'sensitivity'] as const;

/** The whole history as JSON Lines: a first line with the schema, then one record a line with its `type`. Yields lines without line ends, in a fixed order. */
export function* exportJsonLines(store: RigStore): Generator<string> {
  yield JSON.stringify({ schema: EXPORT_SCHEMA, version });
  for (const table of exportedTables) {
    // WITHOUT ROWID tables come in the order of their key.
    for (const row of store.db.prepare(`SELECT * FROM ${table}`).iterate()) {
      yield JSON.stringify({ type: table, ...(row as object) });
    }
  }
}

/** Night figures as CSV (RFC 4180): one line a rig and night, a column a metric, with the error beside it. Yields lines without line ends. */
export function* exportNightsCsv(store: RigStore): Generator<string> {
  const codes = metrics.map((metric) => metric.code);
  yield csvLine(['rig', 'rig_id', 'night', ...codes.flatMap((code) => [code, `${code}_error`])]);
  for (const rig of listRigs(store)) {
    const byNight = new Map<string, Map<string, NightPoint>>();
    for (const [code, points] of nightSeries(store, rig.id)) {
      for (const point of points) {
        byNight.set(point.nightId, (byNight.get(point.nightId) ?? new Map()).set(code, point));
      }
    }
    for (const night of rigNights(store, rig.id)) {
      const figures = byNight.get(night.id);
      const cells = codes.flatMap((code) => [figures?.get(code)?.value, figures?.get(code)?.error]);
      yield csvLine([rig.name, rig.id, night.date, ...cells]);
    }
  }
}

/** Every recorded frame as CSV, one line a frame, in order of time within each rig. Yields lines without line ends. */
export function* exportFramesCsv(store: RigStore): Generator<string> {
  const names = Object.keys(frameColumns);
  yield csvLine(['rig', 'night', ...names]);
  const frames = store.db.prepare('SELECT * FROM frame WHERE nightId = ? ORDER BY dateObs, identity');
  for (const rig of listRigs(store)) {
    for (const night of rigNights(store, rig.id)) {
      for (const row of frames.iterate(night.id)) {
        const values = row as Record<string, string | number | null>;
        yield csvLine([rig.name, night.date, ...names.map((name) => values[name])]);
      }
    }
  }
}

function csvLine(cells: readonly (string | number | null | undefined)[]): string {
  return cells.map(csvCell).join(',');
}

function csvCell(cell: string | number | null | undefined): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'number') return String(cell);
  // A spreadsheet would run a text that starts like a formula.
  const text = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
