import { createHash, randomUUID } from 'node:crypto';
import { UsageError } from '../errors.js';
import { rigNights } from './rig-nights.js';
import { owners } from './rigs.js';
import type { RigStore } from './store.js';
import { angleBetween } from './train.js';
import { allTrains } from './trains.js';
import type { RigNote } from './types.js';

/** More turns of the camera than this mean a rotator at work, not a change of the rig. */
const MOST_TURNS = 6;

/** Log a change of a rig on a date (YYYY-MM-DD; it counts from that night on). `spacingMm`: spacing added (+) or removed (-). */
export function addNote(
  store: RigStore,
  rigId: string,
  note: { readonly date: string; readonly text: string; readonly spacingMm?: number | null },
  now = new Date().toISOString(),
): void {
  if (note.text.trim() === '')
    throw new UsageError(
      'a note may not be empty',
      'Say what was changed, for example "spacer 0.5 mm added".',
    );
  store.transact(() =>
    store.db
      .prepare('INSERT INTO note (id, rigId, date, text, spacingMm, changedAt) VALUES (?, ?, ?, ?, ?, ?)')
      .run(randomUUID(), rigId, note.date, note.text.trim(), note.spacingMm ?? null, now),
  );
}

/** Take a note out again; it stays in the file as removed, so that an import from another computer does not bring it back. */
export function removeNote(store: RigStore, note: RigNote, now = new Date().toISOString()): void {
  store.transact(() =>
    store.db.prepare('UPDATE note SET removed = 1, changedAt = ? WHERE id = ?').run(now, note.id),
  );
}

/** The logged notes of a rig by date, numbered from 1. */
export function listNotes(store: RigStore, rigId: string): RigNote[] {
  const owner = owners(store);
  const rows = store.db
    .prepare(
      'SELECT id, rigId, date, text, spacingMm FROM note WHERE removed = 0 ORDER BY date, changedAt, id',
    )
    .all() as (RigNote & { rigId: string })[];
  return rows
    .filter((row) => owner(row.rigId) === rigId)
    .map(({ id, date, text, spacingMm }, i) => ({
      id,
      number: i + 1,
      date,
      text,
      spacingMm,
      kind: 'logged',
    }));
}

/** The note with that number; UsageError when there is none. */
export function findNote(store: RigStore, rigId: string, number: number): RigNote {
  const notes = listNotes(store, rigId);
  const note = notes.find((candidate) => candidate.number === number);
  if (note) return note;
  throw new UsageError(
    `this rig has no note ${number}`,
    notes.length === 0
      ? 'Log a change with `starassay rig note DATE "what was changed"`.'
      : `Its notes: ${notes.map((n) => `${n.number} (${n.date}: ${n.text})`).join('; ')}.`,
  );
}

/** Logged notes and the turns of the camera that the headers show, by date; only the logged ones have numbers (others 0). */
export function allMarks(store: RigStore, rigId: string): RigNote[] {
  const trains = new Map(allTrains(store).map((train) => [train.key, train]));
  const turns: RigNote[] = [];
  let last: number | null = null;
  for (const night of rigNights(store, rigId)) {
    const angle = trains.get(night.trainKey)?.rotationDeg ?? null;
    if (angle === null) continue;
    if (last !== null && angleBetween(angle, last) > 1) {
      const text = `camera turned from ${Math.round(last)} to ${Math.round(angle)} degrees`;
      const id = createHash('sha256').update(night.id).digest('hex').slice(0, 12);
      turns.push({ id, number: 0, date: night.date, text, spacingMm: null, kind: 'automatic' });
    }
    last = angle;
  }
  const marks = [...listNotes(store, rigId), ...(turns.length > MOST_TURNS ? [] : turns)];
  return marks.sort((a, b) => a.date.localeCompare(b.date));
}
