import { createPixelMemory, kernelsOf, type PixelMemory } from '../kernels/index.js';
import type { ByteSource } from './source.js';

/** Where chunks pass through that are to lie elsewhere. */
let desk: PixelMemory | null = null;

/**
 * Read big-endian signed 16-bit integers as native unsigned ones, 32768 higher: they keep their order.
 *
 * @param into where they go; fastest in the memory of the kernels
 * @param at byte of the source where they start
 * @returns the number of bytes read, fewer than wanted at the end of the source
 */
export function readUnsigned(source: ByteSource, into: Uint8Array, at: number): number {
  const own = kernelsOf(into.buffer);
  if (own) {
    const got = source.read(into, at);
    own.orderBytes(into.byteOffset, got >> 1);
    return got;
  }
  desk ??= createPixelMemory();
  const { buffer, byteOffset } = desk.room(into.length);
  const chunk = new Uint8Array(buffer, byteOffset, into.length);
  const got = source.read(chunk, at);
  desk.kernels.orderBytes(byteOffset, got >> 1);
  into.set(chunk.subarray(0, got));
  return got;
}
