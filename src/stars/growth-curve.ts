import type { StarWindow } from './star-window.js';

/** Flux inside circles about a star, at steps of `stepPx`: inside[k] is the flux within radius (k + 1) step; ADU. */
export interface GrowthCurve {
  readonly stepPx: number;
  readonly inside: Float64Array;
}

/**
 * Curve of growth about 0-based (x, y) out to `radiusPx`, partial pixels by sub-sampling.
 *
 * A stored pixel is the light on the sensor, pixel included, at the pixel's centre. Between the centres the light is continued by its local slope and curvature
 * (second-order Taylor expansion from the neighbouring pixels), so that a ring that cuts a pixel gets the light that lies there: spreading the value evenly over the pixel
 * would widen a star of 3 px by 3 %. Where pixels are masked (other colours of a mosaic, defects) each ring's mean stands for them.
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
      expandLight(window, i, j, isMosaic);
      // Near the centre a ring cuts a pixel in pieces; far out hardly.
      const cuts = r < 3 ? 7 : r < 8 ? 4 : 2;
      const part = 1 / (cuts * cuts);
      const [centre, slopeX, slopeY, curveX, curveXY, curveY] = light;
      // Midpoints of the pieces miss this much of the mean of a curved surface.
      const value = centre + (curveX + curveY) * (part / 24);
      for (let b = 0; b < cuts; b += 1) {
        const oy = (b + 0.5) / cuts - 0.5;
        const sy = dy + oy;
        for (let a = 0; a < cuts; a += 1) {
          const ox = (a + 0.5) / cuts - 0.5;
          const sx = dx + ox;
          const bin = Math.floor(Math.sqrt(sx * sx + sy * sy) / stepPx);
          if (bin >= steps) continue;
          const here =
            value + ox * (slopeX + 0.5 * curveX * ox + curveXY * oy) + oy * (slopeY + 0.5 * curveY * oy);
          flux[bin] += (here - pedestal) * part;
          area[bin] += part;
        }
      }
    }
  }
  return { stepPx, inside: accumulate(flux, area, stepPx, isMosaic || window.blanks > 0) };
}

/** Value, slopes along x and y, second derivatives xx, xy, yy of the light at one pixel. */
const light = new Float64Array(6);

/** Fill `light` from the nearest pixels of the same kind; flat at the window's border or beside a masked pixel. */
function expandLight(
  { width, height, values, usable }: StarWindow,
  i: number,
  j: number,
  isMosaic: boolean,
): void {
  const k = j * width + i;
  const v = values[k];
  light.fill(0);
  light[0] = v;
  if (i === 0 || j === 0 || i === width - 1 || j === height - 1) return;
  const ll = values[k - width - 1];
  const lr = values[k - width + 1];
  const ul = values[k + width - 1];
  const ur = values[k + width + 1];
  light[4] = (ll + ur - lr - ul) / 4;
  if (isMosaic) {
    // Greens touch at their corners: slopes and the mean curvature from the diagonals.
    light[1] = (lr + ur - ll - ul) / 4;
    light[2] = (ul + ur - ll - lr) / 4;
    light[3] = (ll + lr + ul + ur - 4 * v) / 4;
    light[5] = light[3];
    return;
  }
  if (!usable[k - 1] || !usable[k + 1] || !usable[k - width] || !usable[k + width]) {
    light[4] = 0;
    return;
  }
  light[1] = (values[k + 1] - values[k - 1]) / 2;
  light[2] = (values[k + width] - values[k - width]) / 2;
  light[3] = values[k + 1] + values[k - 1] - 2 * v;
  light[5] = values[k + width] + values[k - width] - 2 * v;
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
