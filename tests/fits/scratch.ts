import type { PixelScratch } from '../../src/fits/index.js';

/** Memory to reuse that is not the kernels': it grows when more is asked for. */
export function createScratch(): PixelScratch {
  let buffer = new ArrayBuffer(0);
  return {
    room: (bytes) => {
      if (buffer.byteLength < bytes) buffer = new ArrayBuffer(bytes);
      return { buffer, byteOffset: 0 };
    },
  };
}
