import type { PixelPlane } from '../../src/fits/types.js';

/** A plane of given pixel values, 16-bit unless told otherwise. */
export function planeOf(
  width: number,
  height: number,
  value: (x0: number, y0: number) => number,
  changes: Partial<PixelPlane> & { readonly asFloat?: boolean } = {},
): PixelPlane {
  const { asFloat, ...rest } = changes;
  const data = asFloat ? new Float32Array(width * height) : new Uint16Array(width * height);
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) data[y * width + x] = value(x, y);
  return { width, height, data, scale: 1, zero: 0, mosaic: null, blankCount: 0, saturation: 65535, ...rest };
}
