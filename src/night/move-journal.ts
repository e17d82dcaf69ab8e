import { open, readFile } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join } from 'node:path';
import { StarassayError } from '../errors.js';

/** Name of the journal in the folder that files were moved to; a folder with it is known as one of ours. */
export const journalName = 'starassay-moves.jsonl';

/**
 * One line of the journal. `begin` is on disk before a file is touched, `done` after it arrived, `undo-begin` and `undone` likewise for the way
 * back; `cancelled` ends a begun move that left the original where it was.
 */
export interface JournalEntry {
  readonly schema: 'starassay/moves@1';
  readonly step: 'begin' | 'done' | 'cancelled' | 'undo-begin' | 'undone';
  /** Where the file was, absolute. */
  readonly from: string;
  /** The same, relative to the journal's folder: serves when the whole night has been moved elsewhere since. */
  readonly fromRelative: string;
  /** Where it went, relative to the journal's folder. */
  readonly to: string;
  /** The journal's folder when the line was written, absolute. */
  readonly folder: string;
  readonly bytes: number;
  /** ISO 8601 UTC. */
  readonly at: string;
}

/** A move as the journal leaves it: what its last line says. */
export type JournalState = ReadonlyMap<string, JournalEntry>;

/**
 * Reads the journal of a folder: last line per moved file, in order of first mention; null when there is no journal.
 *
 * A torn last line (power cut) is ignored: nothing was touched before it was complete.
 *
 * @throws StarassayError (`store`) when a line before the last is not one of ours.
 */
export async function readJournal(folder: string): Promise<JournalState | null> {
  const path = join(folder, journalName);
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
  const state = new Map<string, JournalEntry>();
  for (const line of text.split('\n')) {
    if (line.trim() === '') continue;
    const entry = parse(line);
    if (entry) state.set(entry.to, entry);
    else if (line.startsWith('{"schema":"starassay/moves@') && line.endsWith('}')) {
      throw new StarassayError(
        'store',
        `${path}: the journal has a line that this version cannot read.`,
        'Nothing was moved. Bring the files back by hand, or use the version that moved them.',
        path,
      );
    }
  }
  return state;
}

function parse(line: string): JournalEntry | null {
  try {
    const entry = JSON.parse(line) as Partial<JournalEntry> | null;
    const valid =
      entry?.schema === 'starassay/moves@1' &&
      ['begin', 'done', 'cancelled', 'undo-begin', 'undone'].includes(entry.step ?? '') &&
      [entry.from, entry.fromRelative, entry.to, entry.folder].every((path) => typeof path === 'string') &&
      staysInFolder(entry.to ?? '', entry.from ?? '');
    return valid ? (entry as JournalEntry) : null;
  } catch {
    return null;
  }
}

/** A journal that somebody else wrote must not move files of other folders, nor give a file a new name. */
function staysInFolder(to: string, from: string): boolean {
  return !isAbsolute(to) && !to.split(/[\\/]/).includes('..') && basename(to) === basename(from);
}

/** Appends lines to a folder's journal; each is on the disk when `write` resolves. */
export interface JournalWriter {
  readonly write: (entry: JournalEntry) => Promise<void>;
  readonly close: () => Promise<void>;
}

/** Opens the journal of a folder for appending, and makes it when it is not there. */
export async function openJournal(folder: string): Promise<JournalWriter> {
  const path = join(folder, journalName);
  const file = await open(path, 'a+');
  const { size } = await file.stat();
  if (size > 0) {
    const last = Buffer.alloc(1);
    await file.read(last, 0, 1, size - 1);
    // A torn line must not swallow the next one.
    if (last[0] !== 0x0a) await file.write('\n');
  } else {
    await syncFolder(dirname(path));
  }
  return {
    write: async (entry) => {
      await file.write(`${JSON.stringify(entry)}\n`);
      await file.sync();
    },
    close: () => file.close(),
  };
}

/** Makes new or removed names of a folder last through a power cut, where the system can do that. */
export async function syncFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r');
    await handle.sync().finally(() => handle.close());
  } catch {
    // Windows and some network file systems cannot sync a folder; the journal's own lines are synced all the same.
  }
}
