import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';
import { FitsFormatError } from '../errors.js';

/** Bytes that can be read at any position: a file, a buffer, or what came out of a decompressor. */
export interface ByteSource {
  /** Name for messages: the file's path as the caller gave it. */
  readonly name: string;
  /** Size in bytes when the source was opened. */
  readonly size: number;
  /** Fill `target` from `position`; returns the bytes got, fewer than asked only at the end of the source. */
  read(target: Uint8Array, position: number): number;
  close(): void;
}

const openProblems: Readonly<Record<string, readonly [problem: string, remedy: string]>> = {
  ENOENT: ['there is no such file', 'Check the path.'],
  EACCES: ['reading it is not permitted', 'Check the permissions of the file and of the folders above it.'],
  EPERM: ['reading it is not permitted', 'Check the permissions of the file and of the folders above it.'],
  ELOOP: ['its symbolic links lead in a circle', 'Point to the real file, or repair the link.'],
  ENOTDIR: ['a part of the path is not a folder', 'Check the path.'],
  ENAMETOOLONG: ['the path is too long', 'Check the path.'],
  EMFILE: ['too many files are open', 'Close other programs, or use fewer workers.'],
  ENXIO: ['it is a socket or a device, not a file', 'Give a FITS file.'],
  EIO: [
    'the disk reports a read error',
    'Check the disk or the card the file is on, and copy the file again.',
  ],
};

function unreadable(path: string, error: unknown): FitsFormatError {
  const code = (error as NodeJS.ErrnoException).code ?? '';
  const [problem, remedy] = openProblems[code] ?? [
    error instanceof Error ? error.message : String(error),
    'Check that the file can be read.',
  ];
  return new FitsFormatError(`${path}: cannot be read: ${problem}`, remedy, path, 'unreadable-file');
}

/**
 * Open a file for reading by position; nothing is read yet.
 * Throws FitsFormatError (`unreadable-file`) for anything but a regular file one may read; never waits on a pipe.
 */
export function fileSource(path: string): ByteSource {
  let descriptor: number;
  try {
    // O_NONBLOCK: opening a named pipe without a writer would wait for ever.
    descriptor = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  } catch (error) {
    throw unreadable(path, error);
  }
  const status = fstatSync(descriptor);
  if (!status.isFile()) {
    closeSync(descriptor);
    const what = status.isDirectory() ? 'a folder' : status.isFIFO() ? 'a pipe' : 'a device or socket';
    throw new FitsFormatError(
      `${path}: is ${what}, not a file`,
      status.isFIFO() ? 'Save what comes through the pipe to a file first.' : 'Give a FITS file.',
      path,
      'unreadable-file',
    );
  }
  let open = true;
  return {
    name: path,
    size: status.size,
    read(target, position) {
      let got = 0;
      try {
        while (got < target.length) {
          const n = readSync(descriptor, target, got, target.length - got, position + got);
          if (n === 0) break;
          got += n;
        }
      } catch (error) {
        throw unreadable(path, error);
      }
      return got;
    },
    close() {
      if (open) closeSync(descriptor);
      open = false;
    },
  };
}

/** The same over bytes in memory. */
export function bytesSource(name: string, bytes: Uint8Array): ByteSource {
  return {
    name,
    size: bytes.length,
    read(target, position) {
      const part = bytes.subarray(position, position + target.length);
      target.set(part);
      return part.length;
    },
    close() {},
  };
}
