import { unzipSync } from 'node:zlib';
import { TileError } from './tile-error.js';

/** Widest pixel, bytes. */
const MAX_PIXEL_BYTES = 8;

/**
 * Inflate one tile (gzip or zlib wrapping) of so many pixels; `pixelBytes` is the width expected, others up to 8 are let through.
 * Throws TileError for damaged data and for more bytes than pixels can have.
 */
export function inflateTile(bytes: Uint8Array, pixels: number, pixelBytes: number): Uint8Array {
  try {
    return unzipSync(bytes, {
      maxOutputLength: Math.max(1, pixels * MAX_PIXEL_BYTES),
      // One buffer of the right size: the engine's buffers live until the thread's next turn.
      chunkSize: Math.max(64, pixels * pixelBytes),
    });
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
