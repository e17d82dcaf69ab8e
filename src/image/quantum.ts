import type { PixelPlane } from '../fits/types.js';

/**
 * Step between the pixel values that the camera can produce, in the plane's stored units: 1 for plain integers, 16 for a
 * 12-bit camera that fills 16 bits, 0 for values without a common step.
 *
 * Looks at up to 4096 pixels spread over the plane; 0 when there are fewer than two different values.
 */
export function pixelQuantum(plane: PixelPlane): number {
  const { data } = plane;
  const step = Math.max(1, Math.floor(data.length / 4096));
  let first = NaN;
  let divisor = 0;
  for (let i = step >> 1; i < data.length; i += step) {
    const v = data[i];
    if (!Number.isFinite(v)) continue;
    if (Number.isNaN(first)) {
      first = v;
      continue;
    }
    let a = Math.abs(v - first);
    if (a === 0) continue;
    if (!Number.isInteger(a)) return 0;
    while (a > 0) {
      const rest = divisor % a;
      divisor = a;
      a = rest;
    }
    // Finer than whole numbers they are not, nor can the step grow again.
    if (divisor === 1 && data instanceof Uint16Array) return 1;
  }
  return divisor;
}
