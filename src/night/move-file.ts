import { createHash } from 'node:crypto';
import { constants, createReadStream } from 'node:fs';
import { copyFile, link, lstat, open, rename, stat, unlink, utimes } from 'node:fs/promises';
import { dirname } from 'node:path';
import { StarassayError } from '../errors.js';
import { syncFolder } from './move-journal.js';

/**
 * Moves a file, never onto another: a hard link first and then the old name away, so that at no moment there is no name;
 * to another file system as a copy that is read back and compared before the original goes.
 *
 * @throws StarassayError (`unreadable-file`) when the target exists, or the copy does not equal the original (the copy is then removed again);
 *   the system's error when a file cannot be read or written. The original is in place after every throw.
 */
export async function moveFile(from: string, to: string): Promise<void> {
  try {
    await link(from, to);
    await syncFolder(dirname(to));
    await unlink(from);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    if (code === 'EEXIST') throw occupied(to);
    if (code === 'EXDEV') await copyAcross(from, to);
    // File systems without hard links (memory cards): nothing but a rename, with the target looked at just before.
    else if (['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK'].includes(code))
      await renameToFreeName(from, to);
    else throw error;
  }
  await syncFolder(dirname(from));
}

/** Whether anything, a dangling link included, has this name. */
export async function nameIsTaken(path: string): Promise<boolean> {
  try {
    await lstat(path);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
}

/**
 * Whether `copy` is `original` itself (a hard link) or starts like it to its last byte: what an interrupted move leaves behind.
 */
export async function isLeftoverOf(copy: string, original: string): Promise<boolean> {
  const [a, b] = await Promise.all([stat(copy), stat(original)]);
  if (a.dev === b.dev && a.ino === b.ino && a.ino !== 0) return true;
  if (a.size > b.size) return false;
  return a.size === 0 || (await hashOf(copy, a.size)) === (await hashOf(original, a.size));
}

async function copyAcross(from: string, to: string): Promise<void> {
  try {
    await copyFile(from, to, constants.COPYFILE_EXCL);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw occupied(to);
    await unlink(to).catch(() => undefined);
    throw error;
  }
  try {
    const before = await stat(from);
    await utimes(to, before.atime, before.mtime);
    const handle = await open(to, 'r+');
    await handle.sync().finally(() => handle.close());
    await syncFolder(dirname(to));
    const after = await stat(to);
    if (after.size !== before.size || (await hashOf(to, after.size)) !== (await hashOf(from, before.size))) {
      throw new StarassayError(
        'unreadable-file',
        `the copy of ${from} differs from the original, which stays where it is.`,
        'Check the disk that it was copied to.',
        from,
      );
    }
  } catch (error) {
    await unlink(to).catch(() => undefined);
    throw error;
  }
  await unlink(from);
}

async function renameToFreeName(from: string, to: string): Promise<void> {
  if (await nameIsTaken(to)) throw occupied(to);
  const [source, target] = await Promise.all([stat(from), stat(dirname(to))]);
  if (source.dev === target.dev) await rename(from, to);
  else await copyAcross(from, to);
}

function occupied(path: string): StarassayError {
  return new StarassayError(
    'unreadable-file',
    `${path} is there already, and nothing is ever overwritten.`,
    'Move that file away or choose another folder.',
    path,
  );
}

async function hashOf(path: string, bytes: number): Promise<string> {
  const hash = createHash('sha256');
  if (bytes > 0)
    for await (const chunk of createReadStream(path, { end: bytes - 1 })) hash.update(chunk as Buffer);
  return hash.digest('hex');
}
