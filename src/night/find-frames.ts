import { lstat, readdir, realpath, stat } from 'node:fs/promises';
import { basename, join, relative, resolve, sep } from 'node:path';
import { StarassayError, UsageError } from '../errors.js';
import { journalName } from './move-journal.js';
import { compareNatural } from './natural-order.js';

/** A file to be measured: `path` is absolute, `file` is how the night names it (relative to the folder the user named). */
export interface FoundFrame {
  readonly path: string;
  readonly file: string;
}

const frameName = /\.(fits|fit|fts)(\.(gz|fz))?$/i;

/** Whether a file or path is named like a FITS file: .fits .fit .fts, each also .gz or .fz, in any case; hidden files are not. */
export function isFrameName(path: string): boolean {
  return frameName.test(path) && !basename(path).startsWith('.');
}

/**
 * Finds the FITS files under the files and folders that the user named, in natural order.
 *
 * Folders are searched in depth for `.fits .fit .fts`, each also `.gz` or `.fz`, in any case. Hidden files and folders and
 * folders that hold moved rejects (known by their journal) are passed over; a file that is named itself is taken whatever
 * its name. Links are followed, each real folder and file once. `file` is relative to the folder named (a file named
 * directly: its own name); names that would clash are given relative to `cwd` instead.
 *
 * @param note told in words about folders that were passed over.
 * @throws UsageError when a path does not exist or a folder cannot be opened; StarassayError (`unreadable-file`) when there is no FITS file at all.
 */
export async function findLightFrames(
  paths: readonly string[],
  cwd: string,
  note: (text: string) => void = () => undefined,
): Promise<FoundFrame[]> {
  if (paths.length === 0) {
    throw new UsageError('No file or folder was named.', 'Name the folder that holds the subs of the night.');
  }
  const found: FoundFrame[] = [];
  const seen = new Set<string>();
  for (const named of paths) {
    const path = resolve(cwd, named);
    const isFolder = await isFolderOrThrow(path, named);
    const files = isFolder ? await searchFolder(path, seen, note, true) : [path];
    for (const file of files) {
      const real = await realpath(file).catch(() => file);
      if (seen.has(real)) continue;
      seen.add(real);
      found.push({ path: file, file: isFolder ? portable(relative(path, file)) : basename(file) });
    }
  }
  if (found.length === 0) {
    throw new StarassayError(
      'unreadable-file',
      `There is no FITS file in ${paths.join(', ')}.`,
      'Files are known by their names: .fits, .fit or .fts, each also with .gz or .fz; folders are searched in depth.',
    );
  }
  return withUniqueNames(found, cwd).sort((a, b) => compareNatural(a.file, b.file));
}

async function isFolderOrThrow(path: string, named: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch {
    // What cannot be looked into (a link that leads in a circle, no permission) is named by the reader; the other frames go on.
    if (await lstat(path).catch(() => null)) return false;
    throw new UsageError(
      `There is no file or folder "${named}".`,
      'Check the spelling; the name is taken from the folder you are in.',
      named,
    );
  }
}

async function searchFolder(
  folder: string,
  seen: Set<string>,
  note: (text: string) => void,
  named: boolean,
): Promise<string[]> {
  const real = await realpath(folder);
  if (seen.has(real)) return [];
  seen.add(real);
  let entries;
  try {
    entries = await readdir(folder, { withFileTypes: true });
  } catch (error) {
    if (named) {
      throw new UsageError(
        `"${folder}" cannot be opened: ${(error as Error).message}.`,
        'Check who may read it.',
        folder,
      );
    }
    note(`${folder} cannot be opened and was passed over: ${(error as Error).message}`);
    return [];
  }
  if (!named && entries.some((entry) => entry.name === journalName)) {
    note(`${folder} holds frames moved earlier and was passed over; name it to measure them.`);
    return [];
  }
  const files: string[] = [];
  for (const entry of entries.sort((a, b) => compareNatural(a.name, b.name))) {
    if (entry.name.startsWith('.')) continue;
    const path = join(folder, entry.name);
    const kind = entry.isSymbolicLink() ? await stat(path).catch(() => null) : entry;
    if (kind?.isDirectory()) files.push(...(await searchFolder(path, seen, note, false)));
    else if (kind?.isFile() && isFrameName(entry.name)) files.push(path);
    else if (isFrameName(entry.name))
      note(`${path} is no file (a pipe, or a link that leads nowhere) and was passed over`);
  }
  return files;
}

function withUniqueNames(found: readonly FoundFrame[], cwd: string): FoundFrame[] {
  const count = new Map<string, number>();
  for (const { file } of found) count.set(file, (count.get(file) ?? 0) + 1);
  return found.map(({ path, file }) => ({
    path,
    file: count.get(file) === 1 ? file : portable(relative(cwd, path)),
  }));
}

function portable(file: string): string {
  return sep === '/' ? file : file.replaceAll(sep, '/');
}
