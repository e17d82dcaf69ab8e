import { createHash } from 'node:crypto';
import { closeSync, constants, fstatSync, openSync, readSync } from 'node:fs';

/** Blocks read besides the start and the end of the file, spread evenly over it. */
const sampleCount = 12;
const sampleBytes = 4096;
const headBytes = 32 * 1024;
const wholeFileChunk = 1024 * 1024;

/**
 * Identity of a file's content, whatever its name or folder: SHA-256 over its size, time of last change, first 32 KiB (the header)
 * and evenly spaced samples of the rest. The time of change is part of it so that a file rewritten in place never passes for its
 * old self; `whole` hashes every byte instead and leaves the time out, for files whose times cannot be trusted.
 *
 * @returns hexadecimal digest
 * @throws the system's error when the file cannot be read; RangeError for a pipe, a device or a folder
 */
export function contentIdentity(path: string, whole = false): string {
  // O_NONBLOCK: opening a named pipe without a writer would wait for ever.
  const handle = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const status = fstatSync(handle);
    if (!status.isFile()) throw new RangeError(`${path} is no regular file`);
    const { size, mtimeMs } = status;
    const hash = createHash('sha256').update(`${size}`);
    const buffer = new Uint8Array(whole ? wholeFileChunk : headBytes);
    const take = (position: number, bytes: number): number => {
      const got = readSync(handle, buffer, 0, bytes, position);
      hash.update(buffer.subarray(0, got));
      return got;
    };
    if (whole) {
      for (let at = 0; at < size;) {
        const got = take(at, wholeFileChunk);
        if (got === 0) break;
        at += got;
      }
    } else {
      hash.update(` ${mtimeMs}`);
      take(0, headBytes);
      for (let i = 1; i <= sampleCount; i++) {
        const at = Math.floor((i / sampleCount) * (size - sampleBytes));
        if (at > headBytes) take(at, sampleBytes);
      }
    }
    return hash.digest('hex');
  } finally {
    closeSync(handle);
  }
}
