import type { PixelStar } from './pixel-star.js';

/**
 * Add one star to an image: each ray drops an equal share of the flux as one pixel-integrated seeing disc at its landing point.
 *
 * `image`: row-major, `width` x `height`, any linear unit; (x, y): FITS pixel coordinates; `landX`, `landY`: landing points relative
 * to the star, pixels; `reachPx`: pixels beyond it are left untouched (as are those outside the image).
 */
export function drawStar(
  image: Float32Array,
  width: number,
  height: number,
  x: number,
  y: number,
  flux: number,
  landX: Float64Array,
  landY: Float64Array,
  rayCount: number,
  star: PixelStar,
  reachPx: number,
): void {
  const { phases, halfWidth, side, samples } = star;
  const left = Math.max(1, Math.ceil(x - reachPx));
  const right = Math.min(width, Math.floor(x + reachPx));
  const bottom = Math.max(1, Math.ceil(y - reachPx));
  const top = Math.min(height, Math.floor(y + reachPx));
  if (left > right || bottom > top) return;
  const share = flux / rayCount;
  const plane = side * side;
  for (let k = 0; k < rayCount; k++) {
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
      for (let dx = 0; dx < 2; dx++) {
        const weight = wy * (dx ? tx : 1 - tx);
        if (weight === 0) continue;
        const column0 = Math.floor((baseX + dx) / phases);
        const px = baseX + dx - column0 * phases;
        const phase = (py * phases + px) * plane;
        const iFrom = Math.max(left, left - column0);
        const iTo = Math.min(right, left - column0 + side - 1);
        const jFrom = Math.max(bottom, bottom - row0);
        const jTo = Math.min(top, bottom - row0 + side - 1);
        for (let j = jFrom; j <= jTo; j++) {
          let from = phase + (j - bottom + row0) * side + (iFrom - left + column0);
          let to = (j - 1) * width + iFrom - 1;
          for (let i = iFrom; i <= iTo; i++) image[to++] += weight * samples[from++];
        }
      }
    }
  }
}
