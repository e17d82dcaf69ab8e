/** Memory to reuse from frame to frame: one per worker; a plane read with it is valid until the next read. */
export interface PixelScratch {
  buffer: ArrayBuffer;
}

export function createScratch(): PixelScratch {
  return { buffer: new ArrayBuffer(0) };
}

/** An ArrayBuffer of at least that many bytes: the scratch's own when it is large enough. */
export function scratchBuffer(bytes: number, scratch: PixelScratch | undefined): ArrayBuffer {
  const needed = Math.ceil(bytes / 8) * 8;
  if (!scratch) return new ArrayBuffer(needed);
  if (scratch.buffer.byteLength < needed) scratch.buffer = new ArrayBuffer(needed);
  return scratch.buffer;
}
