import { medianInPlace } from '../stats/index.js';
import type { TileGrid } from './background-surface.js';

/**
 * Smooth gradient of the sky: plane through the tile levels (least squares, tiles that leave it by 3 spreads dropped).
 *
 * Returns highest minus lowest corner of the plane over the frame in per cent of `medianLevel`, and the direction in which the sky
 * gets brighter, degrees counter-clockwise from +x. Nulls when the level is not above zero or there are fewer than 2 x 2 tiles.
 */
export function skyGradient(
  grid: TileGrid,
  medianLevel: number,
): { readonly percent: number | null; readonly directionDeg: number | null } {
  const { columns, rows, values } = grid;
  if (!(medianLevel > 0) || columns < 2 || rows < 2) return { percent: null, directionDeg: null };
  const keep = new Uint8Array(values.length).fill(1);
  let gx = 0;
  let gy = 0;
  const residuals = new Float64Array(values.length);
  for (let round = 0; round < 4; round += 1) {
    let n = 0;
    let sx = 0;
    let sy = 0;
    let sv = 0;
    let sxx = 0;
    let sxy = 0;
    let syy = 0;
    let sxv = 0;
    let syv = 0;
    for (let k = 0; k < values.length; k += 1) {
      if (!keep[k] || !Number.isFinite(values[k])) continue;
      const x = k % columns;
      const y = (k - x) / columns;
      const v = values[k];
      n += 1;
      sx += x;
      sy += y;
      sv += v;
      sxx += x * x;
      sxy += x * y;
      syy += y * y;
      sxv += x * v;
      syv += y * v;
    }
    const a = sxx - (sx * sx) / n;
    const b = sxy - (sx * sy) / n;
    const c = syy - (sy * sy) / n;
    const p = sxv - (sx * sv) / n;
    const q = syv - (sy * sv) / n;
    const determinant = a * c - b * b;
    if (!(determinant > 0)) return { percent: null, directionDeg: null };
    gx = (c * p - b * q) / determinant;
    gy = (a * q - b * p) / determinant;
    const offset = (sv - gx * sx - gy * sy) / n;
    for (let k = 0; k < values.length; k += 1) {
      const x = k % columns;
      residuals[k] = Math.abs(values[k] - offset - gx * x - (gy * (k - x)) / columns);
    }
    const limit = 3 * 1.4826 * medianInPlace(Float64Array.from(residuals.filter((r) => !Number.isNaN(r))));
    for (let k = 0; k < values.length; k += 1) keep[k] = residuals[k] <= limit ? 1 : 0;
  }
  const span = Math.abs(gx) * columns + Math.abs(gy) * rows;
  const direction = (Math.atan2(gy, gx) * 180) / Math.PI;
  return { percent: (100 * span) / medianLevel, directionDeg: (direction + 360) % 360 };
}
