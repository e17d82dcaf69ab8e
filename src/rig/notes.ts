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
export function removeNote(store: RigStore, note: RigNote): void {
  store.transact(() => {
    const changedAt = store.db.prepare('SELECT changedAt FROM note WHERE id = ?').pluck().get(note.id);
    if (typeof changedAt !== 'string') return;
    // Later than the note itself, which is enough to win over it, and still telling when it was logged.
    const stamp = new Date(Date.parse(changedAt) + 1).toISOString();
    store.db
      .prepare('UPDATE note SET removed = 1, changedAt = ? WHERE id = ? AND removed = 0')
      .run(stamp, note.id);
  });
}

type NoteRow = Pick<RigNote, 'id' | 'date' | 'text' | 'spacingMm'> & {
  readonly rigId: string;
  readonly removed: number;
  readonly changedAt: string;
};

/** A removal is stamped one millisecond after the logging: see `removeNote`. */
function loggedAt({ removed, changedAt }: NoteRow): string {
  return removed === 0 ? changedAt : new Date(Date.parse(changedAt) - 1).toISOString();
}

/** The logged notes of a rig by date, numbered from 1 in the order they were logged. */
export function listNotes(store: RigStore, rigId: string): RigNote[] {
  const owner = owners(store);
  const rows = store.db
    .prepare(
      'SELECT id, rigId, date, text, spacingMm, removed, changedAt FROM note ORDER BY date, changedAt, id',
    )
    .all() as NoteRow[];
  const own = rows.filter((row) => owner(row.rigId) === rigId);
  // Removed ones keep their place in the count, so that no other note's number moves.
  const order = [...own].sort((a, b) => loggedAt(a).localeCompare(loggedAt(b)));
  return own
    .filter((row) => row.removed === 0)
    .map((row) => ({
      id: row.id,
      number: order.indexOf(row) + 1,
      date: row.date,
      text: row.text,
      spacingMm: row.spacingMm,
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
