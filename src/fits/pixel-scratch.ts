/** Memory to reuse from frame to frame: one per worker; a plane read with it is valid until the next read. */
export interface PixelScratch {
  /** At least that many bytes, from `byteOffset` (a multiple of 16) on. */
  readonly room: (bytes: number) => { readonly buffer: ArrayBuffer; readonly byteOffset: number };
}

/** At least that many bytes, a multiple of 8: in the scratch when there is one. */
export function scratchBytes(bytes: number, scratch: PixelScratch | undefined): Uint8Array {
  const needed = Math.ceil(bytes / 8) * 8;
  if (!scratch) return new Uint8Array(needed);
  const { buffer, byteOffset } = scratch.room(needed);
  return new Uint8Array(buffer, byteOffset, needed);
}
