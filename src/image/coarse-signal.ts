import type { PixelPlane } from '../fits/types.js';
import { greenParity } from './green-sites.js';
import { skyLine } from './sky-line.js';
import type { BackgroundMap } from './types.js';

/** Frame reduced to blocks: mean light above the sky of each block, in units of the block mean's noise. */
export interface CoarseSignal {
  readonly bin: number;
  readonly columns: number;
  readonly rows: number;
  readonly values: Float32Array;
}

/** A pixel counts at most this many sd of its noise, so that hot pixels and star centres do not outweigh a faint trail. */
const CEILING = 8;
/** Rows of blocks that share one reading of the sky map. */
const SKY_ROWS = 4;

/**
 * Reduce a frame to blocks of `bin` pixels, every `rowStep`-th row of a block read. Blank pixels are left out; on a mosaic the green sites count.
 */
export function coarseSignal(
  plane: PixelPlane,
  background: BackgroundMap,
  bin: number,
  rowStep: number,
): CoarseSignal {
  const { data, width } = plane;
  const parity = greenParity(plane.mosaic);
  const columns = Math.floor(width / bin);
  const rows = Math.floor(plane.height / bin);
  const values = new Float32Array(columns * rows);
  const first = parity === null ? 0 : 1;
  const step = parity === null ? 1 : 2;
  const level = new Float64Array(columns);
  const noise = new Float64Array(columns);
  for (let row = 0; row < rows; row += 1) {
    if (row % SKY_ROWS === 0)
      skyLine(plane, background, bin, row + (SKY_ROWS - 1) / 2, columns, level, noise);
    for (let column = 0; column < columns; column += 1) {
      const sky = level[column];
      const top = sky + CEILING * noise[column];
      let sum = 0;
      let n = 0;
      for (let py = row * bin; py < row * bin + bin; py += rowStep) {
        const x0 = column * bin;
        const start = py * width + x0 + (first === 0 ? 0 : (x0 + py + (parity ?? 0)) & 1);
        const end = py * width + x0 + bin;
        for (let k = start; k < end; k += step) {
          const v = data[k];
          if (v !== v) continue;
          sum += v < top ? v : top;
          n += 1;
        }
      }
      values[row * columns + column] =
        n > 0 && noise[column] > 0 ? ((sum / n - sky) * Math.sqrt(n)) / noise[column] : 0;
    }
  }
  return { bin, columns, rows, values };
}
