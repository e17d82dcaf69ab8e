import { constants } from 'node:fs';
import { open } from 'node:fs/promises';

const CHUNK_BYTES = 1024 * 1024;
/** A chunk that comes faster than this was in memory already, ms: from a fast disk it takes 1 to 2. */
const IN_MEMORY_MS = 0.8;
/** So many chunks in memory one after the other: then the rest is taken to be there as well. */
const ENOUGH = 2;

/** One buffer for all: what is read is thrown away. */
const chunk = Buffer.allocUnsafe(CHUNK_BYTES);

/**
 * Bring a file into the system's memory while others are being measured, so that the thread that measures it next need not wait for the disk. Stops where it finds the file in
 * memory already, and at any error: reading in earnest will say what is wrong. Never waits on a pipe.
 *
 * @returns bytes read
 */
export async function readAhead(path: string, signal: AbortSignal | null = null): Promise<number> {
  let bytes = 0;
  let warm = 0;
  try {
    const handle = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    try {
      if (!(await handle.stat()).isFile()) return 0;
      while (warm < ENOUGH && !signal?.aborted) {
        const start = performance.now();
        const { bytesRead } = await handle.read(chunk, 0, CHUNK_BYTES, bytes);
        warm = performance.now() - start < IN_MEMORY_MS ? warm + 1 : 0;
        bytes += bytesRead;
        if (bytesRead === 0) break;
      }
    } finally {
      await handle.close();
    }
  } catch {
    return bytes;
  }
  return bytes;
}
