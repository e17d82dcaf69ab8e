import { lstat, mkdir, stat, unlink } from 'node:fs/promises';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { UsageError } from '../errors.js';
import { isLeftoverOf, moveFile, nameIsTaken } from './move-file.js';
import { openJournal, readJournal, type JournalEntry, type JournalWriter } from './move-journal.js';
import type { JudgedFrame } from './types.js';

/** One file to be moved; `problem` says in words why it will stay where it is. */
export interface PlannedMove {
  /** The night's name of the frame. */
  readonly file: string;
  readonly from: string;
  readonly to: string;
  readonly bytes: number;
  readonly problem: string | null;
}

/** What moving the rejects would do; nothing has been touched. */
export interface MovePlan {
  /** Folder that the files go to, absolute. */
  readonly folder: string;
  readonly moves: readonly PlannedMove[];
}

/** What became of the files of a plan. */
export interface MoveResult {
  readonly folder: string;
  readonly moved: readonly PlannedMove[];
  /** Files that stay where they were, each with its problem. */
  readonly refused: readonly PlannedMove[];
}

/**
 * Plans the move of the rejected frames into a folder, sub-folders kept. A target that exists, a source that is a link, and a frame that lies
 * in the folder already are refused, each with its reason.
 *
 * @throws UsageError when the folder is a file.
 */
export async function planMoves(
  frames: readonly Pick<JudgedFrame, 'file' | 'path' | 'decision'>[],
  folder: string,
): Promise<MovePlan> {
  const target = resolve(folder);
  const kind = await stat(target).catch(() => null);
  if (kind && !kind.isDirectory()) {
    throw new UsageError(
      `"${folder}" is a file.`,
      'Name a folder for the rejected subs; it is made when needed.',
      folder,
    );
  }
  const planned = new Set<string>();
  const moves: PlannedMove[] = [];
  for (const frame of frames) {
    if (frame.decision !== 'reject') continue;
    const to = join(target, insideName(frame.file));
    const { bytes, problem } = await inspect(frame.path, to, target, planned);
    if (problem === null) planned.add(to);
    moves.push({ file: frame.file, from: frame.path, to, bytes, problem });
  }
  return { folder: target, moves };
}

/**
 * Moves the files of a plan. Before a file is touched a line of the journal is on the disk, and another after it has arrived, so that a power cut at any
 * moment leaves every file whole in one of the two places and the journal able to tell which. A file that cannot be moved stays, with its reason; the
 * others go on. An earlier run that was interrupted is cleared up first.
 */
export async function carryOutMoves(plan: MovePlan): Promise<MoveResult> {
  const moved: PlannedMove[] = [];
  const refused = plan.moves.filter((move) => move.problem !== null);
  const ready = plan.moves.filter((move) => move.problem === null);
  if (ready.length === 0) return { folder: plan.folder, moved, refused };

  await mkdir(plan.folder, { recursive: true });
  const journal = await openJournal(plan.folder);
  try {
    await settleJournal(plan.folder, journal);
    for (const move of ready) {
      const entry = { ...journalEntry(plan.folder, move), step: 'begin' as const };
      try {
        await mkdir(dirname(move.to), { recursive: true });
        if (await nameIsTaken(move.to)) throw new Error('there is a file of that name in the folder already');
        await journal.write(entry);
      } catch (error) {
        refused.push({ ...move, problem: wordsOf(error) });
        continue;
      }
      try {
        await moveFile(move.from, move.to);
      } catch (error) {
        await journal.write({ ...entry, step: 'cancelled', at: now() });
        refused.push({ ...move, problem: wordsOf(error) });
        continue;
      }
      await journal.write({ ...entry, step: 'done', at: now() });
      moved.push(move);
    }
  } finally {
    await journal.close();
  }
  return { folder: plan.folder, moved, refused };
}

/**
 * Brings interrupted moves of a folder to a clean end: a file that arrived counts as moved; one that is still at its old place loses the unfinished
 * copy that the move left (told from a foreign file by its bytes).
 */
export async function settleJournal(folder: string, journal: JournalWriter): Promise<void> {
  for (const entry of (await readJournal(folder))?.values() ?? []) {
    if (entry.step !== 'begin' && entry.step !== 'undo-begin') continue;
    const [from, to] = [originOf(entry, folder), join(folder, entry.to)];
    const back = entry.step === 'undo-begin';
    const [source, target] = back ? [to, from] : [from, to];
    if (await nameIsTaken(source)) {
      if ((await nameIsTaken(target)) && (await isLeftoverOf(target, source))) await unlink(target);
      await journal.write({ ...entry, step: back ? 'done' : 'cancelled', at: now() });
    } else if (await nameIsTaken(target)) {
      await journal.write({ ...entry, step: back ? 'undone' : 'done', at: now() });
    }
  }
}

/** Where a journalled file came from: the absolute path, or, when the folder has been moved since, the place relative to it. */
export function originOf(entry: JournalEntry, folder: string): string {
  return entry.folder === folder ? entry.from : resolve(folder, entry.fromRelative);
}

/** The system's or our own words for what went wrong. */
export function wordsOf(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  return message.replace(/\.$/, '');
}

function journalEntry(folder: string, move: PlannedMove): Omit<JournalEntry, 'step'> {
  return {
    schema: 'starassay/moves@1',
    from: move.from,
    fromRelative: relative(folder, move.from),
    to: relative(folder, move.to),
    folder,
    bytes: move.bytes,
    at: now(),
  };
}

function now(): string {
  return new Date().toISOString();
}

async function inspect(
  from: string,
  to: string,
  folder: string,
  planned: ReadonlySet<string>,
): Promise<{ bytes: number; problem: string | null }> {
  let bytes = 0;
  try {
    const source = await lstat(from);
    bytes = source.size;
    if (source.isSymbolicLink()) return { bytes, problem: 'it is a link; move the file that it points to' };
  } catch (error) {
    return { bytes, problem: wordsOf(error) };
  }
  if (from === to || from.startsWith(folder + sep))
    return { bytes, problem: 'it lies in that folder already' };
  if (planned.has(to)) return { bytes, problem: 'another rejected frame of the same name goes there' };
  if (await nameIsTaken(to).catch(() => true)) {
    return { bytes, problem: 'there is a file of that name in the folder already' };
  }
  return { bytes, problem: null };
}

/** A frame's name as a path that cannot leave the folder. */
function insideName(file: string): string {
  return file
    .split('/')
    .filter((part) => part !== '' && part !== '.' && part !== '..')
    .join(sep);
}
