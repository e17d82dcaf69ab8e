import type { StarWindow } from './star-window.js';

/** Flux inside circles about a star, at steps of `stepPx`: inside[k] is the flux within radius (k + 1) step; ADU. */
export interface GrowthCurve {
  readonly stepPx: number;
  readonly inside: Float64Array;
}

/**
 * Curve of growth about 0-based (x, y) out to `radiusPx`, partial pixels by sub-sampling.
 *
 * A stored pixel is already a mean over its area; spreading it over that area once more in the sum would widen the star by another
 * pixel, so each pixel first gives up a 24th of its Laplacian (the second-order inverse of a box of one pixel: its second moment is exactly
 * -1/12 px^2). Where pixels are masked (other colours of a mosaic, defects) each ring's mean stands for them.
 */
export function measureGrowth(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
  isMosaic: boolean,
): GrowthCurve {
  const steps = Math.max(48, Math.ceil(radiusPx * 4));
  const stepPx = radiusPx / steps;
  const flux = new Float64Array(steps);
  const area = new Float64Array(steps);
  const { width, height, usable } = window;
  for (let j = 0; j < height; j += 1) {
    const dy = window.y0 + j - y;
    if (Math.abs(dy) > radiusPx + 1) continue;
    for (let i = 0; i < width; i += 1) {
      const dx = window.x0 + i - x;
      const k = j * width + i;
      const r = Math.hypot(dx, dy);
      if (r > radiusPx + 0.75 || !usable[k]) continue;
      const v = sharpened(window, i, j, isMosaic) - pedestal;
      // Near the centre a ring cuts a pixel in pieces; far out hardly.
      const cuts = r < 3 ? 7 : r < 8 ? 4 : 2;
      const part = 1 / (cuts * cuts);
      for (let b = 0; b < cuts; b += 1) {
        const sy = dy + (b + 0.5) / cuts - 0.5;
        for (let a = 0; a < cuts; a += 1) {
          const sx = dx + (a + 0.5) / cuts - 0.5;
          const bin = Math.floor(Math.sqrt(sx * sx + sy * sy) / stepPx);
          if (bin >= steps) continue;
          flux[bin] += v * part;
          area[bin] += part;
        }
      }
    }
  }
  return { stepPx, inside: accumulate(flux, area, stepPx, isMosaic || window.blanks > 0) };
}

/** Pixel value less a 24th of the Laplacian, from the nearest pixels of the same kind; the plain value at the window's border or beside a masked one. */
function sharpened(window: StarWindow, i: number, j: number, isMosaic: boolean): number {
  const { width, height, values, usable } = window;
  const k = j * width + i;
  const v = values[k];
  if (i === 0 || j === 0 || i === width - 1 || j === height - 1) return v;
  if (isMosaic) {
    // Greens touch at their corners: the diagonal Laplacian covers twice the distance squared.
    return (
      v -
      (values[k - width - 1] +
        values[k - width + 1] +
        values[k + width - 1] +
        values[k + width + 1] -
        4 * v) /
        48
    );
  }
  if (!usable[k - 1] || !usable[k + 1] || !usable[k - width] || !usable[k + width]) return v;
  return v - (values[k - 1] + values[k + 1] + values[k - width] + values[k + width] - 4 * v) / 24;
}

function accumulate(flux: Float64Array, area: Float64Array, stepPx: number, hasHoles: boolean): Float64Array {
  const inside = new Float64Array(flux.length);
  let sum = 0;
  let heldFlux = 0;
  let heldArea = 0;
  let from = 0;
  for (let k = 0; k < flux.length; k += 1) {
    if (!hasHoles) {
      sum += flux[k];
      inside[k] = sum;
      continue;
    }
    // Rings at least 0.7 px wide, so that each holds some usable pixels.
    heldFlux += flux[k];
    heldArea += area[k];
    const r0 = from * stepPx;
    const r1 = (k + 1) * stepPx;
    const ring = Math.PI * (r1 * r1 - r0 * r0);
    const mean = heldArea > 0 ? heldFlux / heldArea : 0;
    inside[k] = sum + mean * ring;
    if (r1 - r0 >= 0.7 && heldArea > 0.15 * ring) {
      sum = inside[k];
      heldFlux = 0;
      heldArea = 0;
      from = k + 1;
    }
  }
  return inside;
}

/** Radius (px) within which the curve reaches `flux`; NaN when it never does. */
export function radiusOfFlux(curve: GrowthCurve, flux: number): number {
  let before = 0;
  for (let k = 0; k < curve.inside.length; k += 1) {
    const now = curve.inside[k];
    if (now >= flux) {
      // Between two circles flux grows with the area.
      const r0 = k * curve.stepPx;
      const r1 = r0 + curve.stepPx;
      const t = now > before ? (flux - before) / (now - before) : 0;
      return Math.sqrt(r0 * r0 + t * (r1 * r1 - r0 * r0));
    }
    before = now;
  }
  return NaN;
}

/** Flux within `radiusPx`, linear in the area between steps. */
export function fluxWithin(curve: GrowthCurve, radiusPx: number): number {
  const position = radiusPx / curve.stepPx;
  const k = Math.min(curve.inside.length - 1, Math.floor(position));
  const before = k === 0 ? 0 : curve.inside[k - 1];
  const r0 = k * curve.stepPx;
  const r1 = r0 + curve.stepPx;
  const t = Math.min(1, (radiusPx * radiusPx - r0 * r0) / (r1 * r1 - r0 * r0));
  return before + t * (curve.inside[k] - before);
}
