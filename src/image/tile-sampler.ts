import type { PixelPlane } from '../fits/types.js';
import { greenParity } from './green-sites.js';

/** Gathers a thinned sample of the pixels of a rectangle; on a colour mosaic of the green ones only. */
export interface TileSampler {
  readonly buffer: Float64Array;
  /** Fill `buffer` from 0-based columns x0..x1-1 and rows y0..y1-1, stored units; returns how many (blank pixels are left out). */
  readonly gather: (x0: number, y0: number, x1: number, y1: number) => number;
  /** The same with `reference(x, y)` at each pixel subtracted, given as a plane through the corners: r00 + gx (x-x0) + gy (y-y0) + gxy (x-x0)(y-y0). */
  readonly gatherResiduals: (
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    r00: number,
    gx: number,
    gy: number,
    gxy: number,
  ) => number;
}

const GOLDEN = 0.6180339887498949;

/**
 * A sampler that takes every `rowStep`-th row and every `columnStep`-th column (the columns shifted from row to row).
 *
 * `rowStep` must be odd: an even step would see one row parity of a mosaic, or of a sensor that reads rows in pairs.
 * `dither` (stored units) spreads each value evenly over one quantisation step with a low-discrepancy sequence, so that
 * statistics of coarse integers see a continuous distribution; its variance is dither^2 / 12.
 */
export function makeTileSampler(
  plane: PixelPlane,
  tileSizePx: number,
  rowStep: number,
  columnStep: number,
  dither: number,
): TileSampler {
  if (rowStep % 2 === 0) throw new RangeError('the row step of a tile sampler must be odd');
  const { data, width } = plane;
  const parity = greenParity(plane.mosaic);
  const step = parity === null ? columnStep : Math.max(2, columnStep + (columnStep % 2));
  const buffer = new Float64Array(
    Math.ceil((2 * tileSizePx) / rowStep + 1) * Math.ceil((2 * tileSizePx) / step + 1),
  );

  const gatherResiduals: TileSampler['gatherResiduals'] = (x0, y0, x1, y1, r00, gx, gy, gxy) => {
    let n = 0;
    let phase = 0.5;
    let turn = 0;
    for (let y = y0; y < y1; y += rowStep) {
      let start = parity === null ? turn % step : ((x0 + y + parity) & 1) + 2 * (turn % (step >> 1));
      turn += 1;
      if (x0 + start >= x1) start = parity === null ? 0 : (x0 + y + parity) & 1;
      const row = y * width;
      const slope = gx + gxy * (y - y0);
      const base = r00 + gy * (y - y0) - slope * x0;
      for (let x = x0 + start; x < x1; x += step) {
        const v = data[row + x];
        if (v !== v) continue;
        phase += GOLDEN;
        if (phase >= 1) phase -= 1;
        buffer[n++] = v - base - slope * x + dither * (phase - 0.5);
      }
    }
    return n;
  };
  return {
    buffer,
    gather: (x0, y0, x1, y1) => gatherResiduals(x0, y0, x1, y1, 0, 0, 0, 0),
    gatherResiduals,
  };
}
