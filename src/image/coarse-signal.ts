import type { PixelPlane } from '../fits/types.js';
import { interpolateTiles } from './background-at.js';
import { greenParity } from './green-sites.js';
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

/**
 * Reduce a frame to blocks of `bin` pixels, every `rowStep`-th row of a block read. Blank pixels are left out; on a mosaic the green sites count.
 */
export function coarseSignal(
  plane: PixelPlane,
  background: BackgroundMap,
  bin: number,
  rowStep: number,
): CoarseSignal {
  const { data, width, scale, zero } = plane;
  const parity = greenParity(plane.mosaic);
  const columns = Math.floor(width / bin);
  const rows = Math.floor(plane.height / bin);
  const values = new Float32Array(columns * rows);
  const first = parity === null ? 0 : 1;
  const step = parity === null ? 1 : 2;
  for (let row = 0; row < rows; row += 1) {
    for (let column = 0; column < columns; column += 1) {
      const x = (column + 0.5) * bin - 0.5;
      const y = (row + 0.5) * bin - 0.5;
      const level = (interpolateTiles(background, background.level, x, y) - zero) / scale;
      const noise = interpolateTiles(background, background.noise, x, y) / Math.abs(scale);
      const top = level + CEILING * noise;
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
      values[row * columns + column] = n > 0 && noise > 0 ? ((sum / n - level) * Math.sqrt(n)) / noise : 0;
    }
  }
  return { bin, columns, rows, values };
}
