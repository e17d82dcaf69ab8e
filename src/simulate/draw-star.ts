import type { PixelStar } from './pixel-star.js';

/** Block of pixels, FITS coordinates counted from 1, both ends included. */
export interface PixelBox {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/**
 * Add one star to a box of an image: each ray drops an equal share of the flux as one pixel-integrated seeing disc at its landing point.
 *
 * `image`: row-major, rows of `width` pixels, any linear unit; (x, y): FITS pixel coordinates; `landX`, `landY`: landing points
 * relative to the star, pixels. Of the rays every `stride`-th is used, for the smooth wings; pixels outside the box stay untouched.
 */
export function drawStar(
  image: Float32Array,
  width: number,
  box: PixelBox,
  x: number,
  y: number,
  flux: number,
  landX: Float64Array,
  landY: Float64Array,
  stride: number,
  star: PixelStar,
): void {
  const { left, right, bottom, top } = box;
  if (left > right || bottom > top) return;
  const { phases, halfWidth, side, samples } = star;
  const share = flux / Math.ceil(landX.length / stride);
  const plane = side * side;
  for (let k = 0; k < landX.length; k += stride) {
    // Fine-sample position of the first pixel's centre relative to the ray; whole part in pixels and phase, rest interpolated.
    const fineX = (left - (x + landX[k]) + halfWidth) * phases;
    const fineY = (bottom - (y + landY[k]) + halfWidth) * phases;
    const baseX = Math.floor(fineX);
    const baseY = Math.floor(fineY);
    const tx = fineX - baseX;
    const ty = fineY - baseY;
    for (let dy = 0; dy < 2; dy++) {
      const wy = (dy ? ty : 1 - ty) * share;
      const row0 = Math.floor((baseY + dy) / phases);
      const py = baseY + dy - row0 * phases;
      const jFrom = Math.max(bottom, bottom - row0);
      const jTo = Math.min(top, bottom - row0 + side - 1);
      for (let dx = 0; dx < 2; dx++) {
        const weight = wy * (dx ? tx : 1 - tx);
        if (weight === 0) continue;
        const column0 = Math.floor((baseX + dx) / phases);
        const px = baseX + dx - column0 * phases;
        const phase = (py * phases + px) * plane;
        const iFrom = Math.max(left, left - column0);
        const iTo = Math.min(right, left - column0 + side - 1);
        for (let j = jFrom; j <= jTo; j++) {
          let from = phase + (j - bottom + row0) * side + (iFrom - left + column0);
          let to = (j - 1) * width + iFrom - 1;
          for (let i = iFrom; i <= iTo; i++) image[to++] += weight * samples[from++];
        }
      }
    }
  }
}

/** Pixels of a width x height image within `reachPx` of (x, y) along each axis. */
export function boxAround(width: number, height: number, x: number, y: number, reachPx: number): PixelBox {
  return {
    left: Math.max(1, Math.ceil(x - reachPx)),
    right: Math.min(width, Math.floor(x + reachPx)),
    bottom: Math.max(1, Math.ceil(y - reachPx)),
    top: Math.min(height, Math.floor(y + reachPx)),
  };
}

/** What is left of a box around another one inside it, as up to four boxes. */
export function boxesBeside(outer: PixelBox, inner: PixelBox): readonly PixelBox[] {
  return [
    { ...outer, top: inner.bottom - 1 },
    { ...outer, bottom: inner.top + 1 },
    { left: outer.left, right: inner.left - 1, bottom: inner.bottom, top: inner.top },
    { left: inner.right + 1, right: outer.right, bottom: inner.bottom, top: inner.top },
  ].filter((box) => box.left <= box.right && box.bottom <= box.top);
}
