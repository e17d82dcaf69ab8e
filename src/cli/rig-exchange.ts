import { closeSync, existsSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { resolve } from 'node:path';
import { UsageError } from '../errors.js';
import { csvField } from '../report/index.js';
import {
  backupStore,
  checkStore,
  exportJsonLines,
  frameRows,
  importJsonLines,
  nightRows,
  rebuildFigures,
  StoreError,
} from '../rig/index.js';
import type { CliContext } from './context.js';
import { readInput } from './read-input.js';
import { withStore, type RigFlags } from './rig-flags.js';

/** Text is handed on in pieces of about this many characters: a large history does not fit into one string. */
const PIECE = 1 << 18;

/** `rig export`. */
export async function exportHistory(flags: RigFlags, context: CliContext): Promise<void> {
  await withStore(flags, context, 'read', (store) => {
    const lines =
      flags.csv === 'nights'
        ? csvLines(nightRows(store))
        : flags.csv === 'frames'
          ? csvLines(frameRows(store))
          : exportJsonLines(store);
    if (flags.out === undefined) writePieces(lines, context.out);
    else writeFileWhole(resolve(context.cwd, flags.out), lines);
  });
}

function* csvLines(rows: Iterable<readonly (string | number | null)[]>): Generator<string> {
  for (const row of rows) yield row.map(csvField).join(',');
}

function writePieces(lines: Iterable<string>, write: (text: string) => void): void {
  let piece = '';
  for (const line of lines) {
    piece += `${line}\n`;
    if (piece.length < PIECE) continue;
    write(piece);
    piece = '';
  }
  if (piece !== '') write(piece);
}

/** The file appears under its name only when it is whole; nothing is overwritten. */
function writeFileWhole(path: string, lines: Iterable<string>): void {
  if (existsSync(path))
    throw new UsageError(`${path} exists already`, 'Name a new file, or move that one away first.', path);
  const partial = `${path}.part`;
  try {
    const handle = openSync(partial, 'w');
    try {
      writePieces(lines, (text) => void writeSync(handle, text));
    } finally {
      closeSync(handle);
    }
    renameSync(partial, path);
  } catch (error) {
    rmSync(partial, { force: true });
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined) throw error;
    throw new UsageError(
      `${path} cannot be written (${code})`,
      'Check that the folder exists, may be written to, and has room.',
      path,
    );
  }
}

/** `rig import`. */
export async function importHistory(file: string, flags: RigFlags, context: CliContext): Promise<void> {
  const content = await readInput(file, 'Give a file written by `starassay rig export`.', context);
  await withStore(flags, context, 'write', (store) => {
    const { added, replaced } = importJsonLines(
      store,
      content.split('\n'),
      file === '-' ? 'standard input' : file,
    );
    context.out(
      `added ${added.night} nights, ${added.frame} subs, ${added.note} notes; ` +
        `brought up to date ${replaced.night} nights, ${replaced.frame} subs, ${replaced.note} notes\n`,
    );
  });
}

/** `rig backup`. */
export async function backupHistory(file: string, flags: RigFlags, context: CliContext): Promise<void> {
  await withStore(flags, context, 'read', (store) => {
    backupStore(store, resolve(context.cwd, file));
    context.out(`wrote ${file}\n`);
  });
}

/** `rig check`; a damaged history ends with an error. */
export async function checkHistory(flags: RigFlags, context: CliContext): Promise<void> {
  await withStore(flags, context, flags.rebuild ? 'write' : 'read', (store) => {
    if (flags.rebuild) context.note(`worked out the figures of ${rebuildFigures(store)} nights anew\n`);
    const check = checkStore(store);
    if (flags.json)
      context.out(
        `${JSON.stringify({ schema: 'starassay/rig-check@1', file: store.path, ...check }, null, 1)}\n`,
      );
    else if (check.sound) {
      context.out(
        `${store.path}: sound, ${check.nights} nights, ${check.frames} subs, ${(check.bytes / 1e6).toFixed(1)} MB\n`,
      );
    }
    if (!check.sound) {
      throw new StoreError(
        `the rig history ${store.path} is not sound: ${check.problems.slice(0, 5).join(' ')}`,
        'Restore a copy made with `starassay rig backup`, or save what can be read with `starassay rig export`.',
        store.path,
      );
    }
  });
}
