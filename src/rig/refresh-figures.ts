import type { FrameRow } from './frame-row.js';
import { frameFigures, opticsFigures, type RecordedOptics } from './night-figures.js';
import type { RigStore } from './store.js';
import type { NightFigure } from './types.js';

/** Work out the figures of these nights anew from their frames and fits; a night left without frames is taken out. Inside a transaction of the caller. */
export function refreshFigures(store: RigStore, nightIds: readonly string[]): void {
  const { db } = store;
  const frames = db.prepare('SELECT * FROM frame WHERE nightId = ?');
  const optics = db.prepare('SELECT optics FROM night WHERE id = ?').pluck();
  const clear = db.prepare('DELETE FROM figure WHERE nightId = ?');
  const drop = db.prepare('DELETE FROM night WHERE id = ?');
  const insert = db.prepare(
    'INSERT INTO figure (nightId, filter, metric, value, spread, error, frames) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  for (const nightId of nightIds) {
    const rows = frames.all(nightId) as FrameRow[];
    clear.run(nightId);
    if (rows.length === 0) {
      drop.run(nightId);
      continue;
    }
    const save = (filter: string, figures: readonly NightFigure[]) => {
      for (const f of figures) insert.run(nightId, filter, f.metric, f.value, f.spread, f.error, f.frames);
    };
    const fit = optics.get(nightId) as string | null;
    save('', [
      ...opticsFigures(fit ? (JSON.parse(fit) as RecordedOptics) : null, rows),
      ...frameFigures(rows),
    ]);
    const filters = new Set(
      rows.map((row) => row.filter).filter((filter) => filter !== null && filter !== ''),
    );
    for (const filter of filters)
      save(filter as string, frameFigures(rows.filter((row) => row.filter === filter)));
  }
}
