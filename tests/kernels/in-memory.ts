import { residentPixels, type ResidentPixels, type WorkArea } from '../../src/kernels/index.js';

/** Pixels in the kernels' memory, with a fresh work area. */
export function place(data: Uint16Array | Float32Array): ResidentPixels & { readonly area: WorkArea } {
  const pixels = residentPixels(data);
  return { ...pixels, area: pixels.workArea() };
}

/** Floats in the work area, with room for what the kernels pad. */
export function placeFloats(area: WorkArea, values: ArrayLike<number>): number {
  const placed = area.floats(values.length);
  placed.view.set(values);
  return placed.address;
}
