import type { PixelPlane } from '../fits/types.js';

/**
 * Level (ADU) at and above which pixels of this frame are clipped, or null when nothing is.
 *
 * The header's or the integer range's limit counts where it is given; a detector may clip lower, which shows as a pile-up: several pixels, next to each
 * other, that share the frame's very highest value. `x`, `y`: FITS positions of the brightest sources, where clipping shows.
 */
export function clippingLevel(
  plane: PixelPlane,
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  reachPx: number,
): number | null {
  const { data, width, height } = plane;
  let highest = -Infinity;
  const heights: { top: number; twins: number }[] = [];
  const reach = Math.max(2, Math.ceil(reachPx));
  const count = Math.min(x.length, 100);
  for (let s = 0; s < count; s += 1) {
    const cx = Math.round(x[s] - 1);
    const cy = Math.round(y[s] - 1);
    let top = -Infinity;
    let twins = 0;
    for (let j = Math.max(0, cy - reach); j <= Math.min(height - 1, cy + reach); j += 1) {
      for (let i = Math.max(0, cx - reach); i <= Math.min(width - 1, cx + reach); i += 1) {
        const v = data[j * width + i];
        if (v > top) {
          top = v;
          twins = 1;
        } else if (v === top) twins += 1;
      }
    }
    heights.push({ top, twins });
    if (top > highest) highest = top;
  }
  // Stars whose top stands on one and the same value (within a thousandth, for detectors that dither), in several pixels each.
  const limit = highest - 0.001 * Math.abs(highest);
  const piledUp = heights.filter((h) => h.top >= limit && h.twins >= 3).length;
  const pileUp =
    piledUp >= 2 || (piledUp === 1 && heights[0]?.twins >= 5) ? limit * plane.scale + plane.zero : null;
  if (plane.saturation === null) return pileUp;
  return pileUp === null ? plane.saturation : Math.min(pileUp, plane.saturation);
}
