import {
  closeSync,
  fsyncSync,
  lstatSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UsageError } from '../errors.js';
import type { FoundFrame } from './find-frames.js';

/** Name of the file that keeps a person's own decisions, in the folder of the frames they are about. */
export const decisionsFileName = 'starassay-decisions.json';

/** A person's decision over a frame. */
export type OwnDecision = 'keep' | 'reject';

const SCHEMA = 'starassay/decisions@1';
/** Room for a hundred thousand long names; anything larger was not written by this program. */
const MAX_BYTES = 16 * 1024 * 1024;

/**
 * A person's own decisions over the frames found: night's name of the frame -> decision, read from the decisions file beside each
 * frame; frames without one are not in the map. FITS files are not touched.
 *
 * @throws UsageError naming the file when it cannot be read or is not what this program writes.
 */
export function readDecisions(found: readonly FoundFrame[]): Map<string, OwnDecision> {
  const decisions = new Map<string, OwnDecision>();
  const folders = new Map<string, ReadonlyMap<string, OwnDecision>>();
  for (const { path, file } of found) {
    const folder = dirname(path);
    let known = folders.get(folder);
    if (!known) folders.set(folder, (known = readFolder(folder)));
    const decision = known.get(basename(path));
    if (decision !== undefined) decisions.set(file, decision);
  }
  return decisions;
}

/**
 * Remember a decision over one frame (`null` forgets it) in the decisions file beside it: written anew and renamed into place, so
 * that it is whole at any moment. The last decision forgotten takes the file away.
 *
 * @throws UsageError when the file is not ours or cannot be written.
 */
export function recordDecision(framePath: string, decision: OwnDecision | null): void {
  const folder = dirname(framePath);
  const known = new Map(readFolder(folder));
  if (decision === null) known.delete(basename(framePath));
  else known.set(basename(framePath), decision);
  const path = join(folder, decisionsFileName);
  try {
    if (known.size === 0) rmSync(path, { force: true });
    else replaceFile(path, documentOf(known));
  } catch (error) {
    throw unusable(
      path,
      `cannot be written (${messageOf(error)})`,
      'Check that the folder may be written to and has room.',
    );
  }
}

function documentOf(decisions: ReadonlyMap<string, OwnDecision>): string {
  const frames = Object.fromEntries([...decisions].sort(([a], [b]) => (a < b ? -1 : 1)));
  return `${JSON.stringify({ schema: SCHEMA, frames }, null, 2)}\n`;
}

function replaceFile(path: string, text: string): void {
  const partial = `${path}.part`;
  const handle = openSync(partial, 'w');
  try {
    writeSync(handle, text);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  renameSync(partial, path);
}

function readFolder(folder: string): ReadonlyMap<string, OwnDecision> {
  const path = join(folder, decisionsFileName);
  let text: string;
  try {
    const entry = lstatSync(path, { throwIfNoEntry: false });
    if (!entry) return new Map();
    if (!entry.isFile() || entry.size > MAX_BYTES) throw new Error('it is no plain small file');
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw unusable(path, `cannot be read (${messageOf(error)})`, 'Move it away to decide anew.');
  }
  const frames = parse(text);
  if (frames === null) {
    throw unusable(
      path,
      'is not a file of decisions as this program writes it',
      'Mend it, or move it away to decide anew.',
    );
  }
  return frames;
}

function parse(text: string): Map<string, OwnDecision> | null {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch {
    return null;
  }
  if (!isRecord(document) || document.schema !== SCHEMA || !isRecord(document.frames)) return null;
  const frames = new Map<string, OwnDecision>();
  for (const [name, decision] of Object.entries(document.frames)) {
    if (decision !== 'keep' && decision !== 'reject') return null;
    frames.set(name, decision);
  }
  return frames;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function unusable(path: string, problem: string, remedy: string): UsageError {
  return new UsageError(`${path} ${problem}.`, remedy, path);
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
