import { readFile, readdir, rename, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { UsageError } from '../errors.js';

/** Name of the file that holds the truth, beside the frames. */
export const TRUTH_FILE = 'truth.json';
/** Name of the document of a simulated year. */
export const RIG_YEAR_FILE = 'rig-year.json';

/**
 * Refuse a folder in which writing `files` could overwrite anything that a simulation did not make.
 *
 * A new or empty folder is fine. One that holds something is refused; with `replace` it may hold anything, but of `files` only those
 * that an earlier simulation's own record (truth.json, or a rig-year document) vouches for may be there. Throws UsageError.
 */
export async function checkOutputFolder(
  folder: string,
  files: readonly string[],
  replace: boolean,
): Promise<void> {
  let present: string[];
  try {
    present = await readdir(folder);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') return;
    if (code === 'ENOTDIR') {
      throw new UsageError(
        `${folder} is a file, not a folder`,
        'Give a new or empty folder with --out.',
        folder,
      );
    }
    throw new UsageError(
      `${folder} cannot be read: ${(error as Error).message}`,
      'Give a folder you may write to.',
      folder,
    );
  }
  if (present.length === 0) return;
  if (!replace) {
    throw new UsageError(
      `${folder} is not empty`,
      'Give a new or empty folder, or --force to write anew what an earlier simulation left there.',
      folder,
    );
  }
  const own = await earlierFiles(folder);
  for (const file of files) {
    if (own.has(file)) continue;
    if (await exists(join(folder, file))) {
      throw new UsageError(
        `${join(folder, file)} is there and was not made by a simulation`,
        'Move it away, or give another folder.',
        folder,
      );
    }
  }
}

/** Files that an earlier simulation wrote, by its own records. */
async function earlierFiles(folder: string): Promise<ReadonlySet<string>> {
  const own = new Set<string>();
  const truth = await readRecord(join(folder, TRUTH_FILE));
  if (truth?.schema === 'starassay/truth@1' && Array.isArray(truth.frames)) {
    own.add(TRUTH_FILE);
    for (const frame of truth.frames as { file?: unknown }[]) own.add(String(frame.file));
  }
  const year = await readRecord(join(folder, RIG_YEAR_FILE));
  if (year?.schema === 'starassay/rig-year@1') own.add(RIG_YEAR_FILE);
  return own;
}

async function readRecord(path: string): Promise<Readonly<Record<string, unknown>> | null> {
  try {
    const record: unknown = JSON.parse(await readFile(path, 'utf8'));
    return typeof record === 'object' ? (record as Record<string, unknown> | null) : null;
  } catch {
    // Not there or not JSON: then it is not ours.
    return null;
  }
}

async function exists(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch {
    return false;
  }
}

/** A file appears under its name only when it is whole. */
export async function writeWhole(path: string, content: Uint8Array | string): Promise<void> {
  const partial = `${path}.partial`;
  await writeFile(partial, content);
  await rename(partial, path);
}
