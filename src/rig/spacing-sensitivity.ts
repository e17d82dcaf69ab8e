import { hodgesLehmann } from '../stats/index.js';
import { nightSeries } from './night-series.js';
import { listNotes } from './notes.js';
import { rangesAroundNote } from './rig-compare.js';
import { owners } from './rigs.js';
import type { RigStore } from './store.js';
import type { SpacingSensitivity } from './types.js';

/** Remember what a spacing ladder measured: micrometres of corner curvature per mm of spacing, with its standard error. */
export function recordSpacingSensitivity(
  store: RigStore,
  rigId: string,
  measured: { readonly micronPerMm: number; readonly error: number | null },
  now = new Date().toISOString(),
): void {
  store.transact(() =>
    store.db
      .prepare(
        'INSERT OR REPLACE INTO sensitivity (rigId, measuredAt, micronPerMm, error) VALUES (?, ?, ?, ?)',
      )
      .run(rigId, now, measured.micronPerMm, measured.error),
  );
}

/**
 * The rig's sensitivity: the latest ladder, else what logged spacer changes (notes with millimetres) did to the curvature;
 * null when neither says anything (a change under two standard errors says nothing).
 */
export function spacingSensitivity(store: RigStore, rigId: string): SpacingSensitivity | null {
  const owner = owners(store);
  const rows = store.db
    .prepare('SELECT rigId, measuredAt, micronPerMm, error FROM sensitivity ORDER BY measuredAt DESC')
    .all() as { rigId: string; measuredAt: string; micronPerMm: number; error: number | null }[];
  const latest = rows.find((row) => owner(row.rigId) === rigId);
  if (latest) {
    const { measuredAt, micronPerMm, error } = latest;
    return { micronPerMm, error, measuredAt, source: 'ladder' };
  }
  return learnFromNotes(store, rigId);
}

function learnFromNotes(store: RigStore, rigId: string): SpacingSensitivity | null {
  let [top, weights, last] = [0, 0, ''];
  for (const note of listNotes(store, rigId)) {
    if (!note.spacingMm) continue;
    const { before, after } = rangesAroundNote(store, rigId, note);
    const curvature = (from: string | null, to: string | null) =>
      (nightSeries(store, rigId, { since: from, until: to }).get('curvature') ?? []).map(
        (point) => point.value,
      );
    const shift = hodgesLehmann(curvature(before.from, before.to), curvature(after.from, after.to));
    if (shift === null || shift.low === null || shift.high === null) continue;
    // The 95 % interval is 2 x 1.96 standard errors wide.
    const error = (shift.high - shift.low) / 3.92 / Math.abs(note.spacingMm);
    if (!(error > 0)) continue;
    top += shift.shift / note.spacingMm / error ** 2;
    weights += 1 / error ** 2;
    last = note.date;
  }
  if (weights === 0) return null;
  const [micronPerMm, error] = [top / weights, 1 / Math.sqrt(weights)];
  if (Math.abs(micronPerMm) < 2 * error) return null;
  return { micronPerMm, error, measuredAt: `${last}T00:00:00.000Z`, source: 'notes' };
}
