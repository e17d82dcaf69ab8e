import { unzipSync } from 'node:zlib';
import { TileError } from './tile-error.js';

/** Inflate one tile (gzip or zlib wrapping) to at most `maxBytes`. Throws TileError. */
export function inflateTile(bytes: Uint8Array, maxBytes: number): Uint8Array {
  try {
    return unzipSync(bytes, { maxOutputLength: Math.max(maxBytes, 1), chunkSize: Math.max(64, maxBytes) });
  } catch (error) {
    const tooLarge = (error as NodeJS.ErrnoException).code === 'ERR_BUFFER_TOO_LARGE';
    throw new TileError(
      tooLarge ? 'inflates to more than its pixels' : `has damaged gzip data (${(error as Error).message})`,
    );
  }
}

/** Undo GZIP_2's byte shuffle: first all most significant bytes, then all next ones (FITS Standard 4.0, section 10.4.2). */
export function unshuffleBytes(shuffled: Uint8Array, pixelBytes: number): Uint8Array {
  const count = shuffled.length / pixelBytes;
  const plain = new Uint8Array(shuffled.length);
  for (let byte = 0; byte < pixelBytes; byte++) {
    for (let i = 0, from = byte * count, to = byte; i < count; i++, from++, to += pixelBytes) {
      plain[to] = shuffled[from]!;
    }
  }
  return plain;
}
