import {
  accessSync,
  closeSync,
  constants,
  fstatSync,
  openSync,
  readSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { UsageError } from '../errors.js';

/** Every document this program writes carries its name near the start, or near the end (WebP pictures). */
const mark = 'starassay';

/**
 * Write a result to a file, whole or not at all. A file that is there already is replaced only when this program wrote it
 * (its name stands near the start or the end, and it is no FITS file); anything else is refused, so that a slip of the keyboard costs nothing.
 *
 * @throws UsageError naming the file when it may not be replaced or cannot be written
 */
export function writeOutput(path: string, content: string | Uint8Array): void {
  checkOutput(path);
  const partial = `${path}.part`;
  try {
    writeFileSync(partial, content);
    renameSync(partial, path);
  } catch (error) {
    rmSync(partial, { force: true });
    throw cannotWrite(path, error);
  }
}

/**
 * What `writeOutput` can know before there is anything to write: for commands that work for minutes first.
 *
 * @throws UsageError naming the file when it may not be replaced or its folder is not there or may not be written to
 */
export function checkOutput(path: string): void {
  const folder = dirname(path);
  try {
    accessSync(folder, constants.W_OK);
  } catch (error) {
    throw cannotWrite(path, error);
  }
  if (!statSync(folder).isDirectory()) {
    throw new UsageError(
      `${path}: cannot be written, ${folder} is a file and not a folder`,
      'Choose a name in a folder.',
      path,
    );
  }
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory())
    throw new UsageError(`${path}: is a folder`, 'Name a file in it.', path);
  refuseForeign(path);
}

function refuseForeign(path: string): void {
  if (isOurs(path)) return;
  throw new UsageError(
    `${path}: a file of another origin is there already`,
    'Choose another name, or move that file away first.',
    path,
  );
}

function cannotWrite(path: string, error: unknown): UsageError {
  const why = error instanceof Error ? error.message : String(error);
  return new UsageError(
    `${path}: cannot be written (${why})`,
    'Check that the folder exists, may be written to, and has room.',
    path,
  );
}

/** True when there is no file at the path, or one that this program made. */
function isOurs(path: string): boolean {
  let handle: number;
  try {
    handle = openSync(path, 'r');
  } catch {
    return true;
  }
  try {
    const head = Buffer.alloc(4096);
    const text = head.subarray(0, readSync(handle, head, 0, head.length, 0)).toString('latin1');
    const end = fstatSync(handle).size;
    const tail = head.subarray(0, readSync(handle, head, 0, head.length, Math.max(0, end - head.length)));
    const signed = text.includes(mark) || (text.startsWith('RIFF') && tail.toString('latin1').includes(mark));
    return text === '' || (signed && !text.startsWith('SIMPLE'));
  } catch {
    return false;
  } finally {
    closeSync(handle);
  }
}
