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
  /**
   * The same, of those pixels only whose surroundings are no brighter than the reference: the mean of the eight pixels two columns or rows away (on a mosaic they have
   * the pixel's own colour). The choice looks at other pixels than the one taken, so that it keeps starlight out without touching the distribution of the noise.
   */
  readonly gatherQuiet: TileSampler['gatherResiduals'];
}

const GOLDEN = 0.6180339887498949;
/** Distance of the pixels looked at to judge a pixel's surroundings: even, so that a mosaic gives the same colour. */
const RING = 2;

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
  const { data, width, height } = plane;
  const parity = greenParity(plane.mosaic);
  const step = parity === null ? columnStep : Math.max(2, columnStep + (columnStep % 2));
  const buffer = new Float64Array(
    Math.ceil((2 * tileSizePx) / rowStep + 1) * Math.ceil((2 * tileSizePx) / step + 1),
  );

  const gather = (
    isQuiet: boolean,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    r00: number,
    gx: number,
    gy: number,
    gxy: number,
  ): number => {
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
      if (isQuiet && (y < RING || y >= height - RING)) continue;
      const end = isQuiet ? Math.min(x1, width - RING) : x1;
      for (let x = x0 + start; x < end; x += step) {
        const v = data[row + x];
        if (v !== v) continue;
        if (isQuiet && (x < RING || surroundings(data, width, row + x) > base + slope * x)) continue;
        phase += GOLDEN;
        if (phase >= 1) phase -= 1;
        buffer[n++] = v - base - slope * x + dither * (phase - 0.5);
      }
    }
    return n;
  };
  const gatherResiduals: TileSampler['gatherResiduals'] = (...args) => gather(false, ...args);
  return {
    buffer,
    gather: (x0, y0, x1, y1) => gather(false, x0, y0, x1, y1, 0, 0, 0, 0),
    gatherResiduals,
    gatherQuiet: (...args) => gather(true, ...args),
  };
}

/** Mean of the eight pixels two columns or rows away from pixel `k`; blanks left out, NaN when all are blank. */
function surroundings(data: PixelPlane['data'], width: number, k: number): number {
  const up = k + RING * width;
  const down = k - RING * width;
  const sum =
    data[down - RING] +
    data[down] +
    data[down + RING] +
    data[k - RING] +
    data[k + RING] +
    data[up - RING] +
    data[up] +
    data[up + RING];
  if (sum === sum) return sum / 8;
  let finite = 0;
  let total = 0;
  for (const row of [down, k, up]) {
    for (let c = row - RING; c <= row + RING; c += RING) {
      if (c === k || data[c] !== data[c]) continue;
      total += data[c];
      finite += 1;
    }
  }
  return total / finite;
}
