import { mkdir, rmdir, unlink } from 'node:fs/promises';
import { dirname, join, relative, resolve } from 'node:path';
import { UsageError } from '../errors.js';
import { moveFile, nameIsTaken } from './move-file.js';
import { journalName, openJournal, readJournal, type JournalEntry } from './move-journal.js';
import { originOf, settleJournal, wordsOf } from './moves.js';

/** One file on its way back; `problem` says in words why it stays in the folder. */
export interface UndoMove {
  readonly from: string;
  readonly to: string;
  readonly problem: string | null;
}

/** What undoing did. */
export interface UndoResult {
  readonly folder: string;
  readonly back: readonly UndoMove[];
  readonly refused: readonly UndoMove[];
}

/**
 * Brings the files back that were moved into a folder, by its journal, the last ones first; never onto another file. When all are back the journal and the
 * folders left empty are removed.
 *
 * @throws UsageError when the folder has no journal.
 */
export async function undoMoves(folder: string): Promise<UndoResult> {
  const here = resolve(folder);
  const state = await readJournal(here);
  if (state === null) {
    throw new UsageError(
      `"${folder}" has no journal (${journalName}): no files were moved there, or all are back.`,
      'Name the folder that the rejected subs were moved to.',
      folder,
    );
  }
  const back: UndoMove[] = [];
  const journal = await openJournal(here);
  let left: UndoMove[];
  try {
    await settleJournal(here, journal);
    const { ready, refused } = await planUndo((await readJournal(here))?.values() ?? [], here);
    left = refused;
    for (const { entry, move } of ready) {
      try {
        await mkdir(dirname(move.to), { recursive: true });
        await journal.write({ ...entry, step: 'undo-begin', at: new Date().toISOString() });
        await moveFile(move.from, move.to);
        await journal.write({ ...entry, step: 'undone', at: new Date().toISOString() });
        back.push(move);
      } catch (error) {
        await journal.write({ ...entry, step: 'done', at: new Date().toISOString() });
        left.push({ ...move, problem: wordsOf(error) });
      }
    }
  } finally {
    await journal.close();
  }
  if (left.length === 0) await clearAway(here, state.keys());
  return { folder: here, back, refused: left };
}

async function planUndo(
  entries: Iterable<JournalEntry>,
  folder: string,
): Promise<{ ready: { entry: JournalEntry; move: UndoMove }[]; refused: UndoMove[] }> {
  const ready: { entry: JournalEntry; move: UndoMove }[] = [];
  const refused: UndoMove[] = [];
  for (const entry of [...entries].reverse()) {
    if (entry.step === 'undone' || entry.step === 'cancelled') continue;
    const move = { from: resolve(folder, entry.to), to: originOf(entry, folder), problem: null };
    const problem = await problemOf(move);
    if (problem === null) ready.push({ entry, move });
    else refused.push({ ...move, problem });
  }
  return { ready, refused };
}

async function problemOf(move: UndoMove): Promise<string | null> {
  if (!(await nameIsTaken(move.from))) {
    return (await nameIsTaken(move.to)) ? 'it is back already' : 'it is no longer in the folder';
  }
  if (await nameIsTaken(move.to)) return 'there is a file of that name at its old place';
  return null;
}

async function clearAway(folder: string, names: Iterable<string>): Promise<void> {
  await unlink(join(folder, journalName));
  const folders = new Set<string>();
  for (const name of names) {
    for (let path = dirname(resolve(folder, name)); relative(folder, path) !== ''; path = dirname(path))
      folders.add(path);
  }
  // Deepest first; a folder with anything else in it stays.
  for (const path of [...folders].sort((a, b) => b.length - a.length))
    await rmdir(path).catch(() => undefined);
  await rmdir(folder).catch(() => undefined);
}
