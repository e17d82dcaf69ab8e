import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { greenParity } from './green-sites.js';
import { SKY_RUN, skyLine } from './sky-line.js';
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
  const pixels = residentPixels(plane.data);
  const area = pixels.workArea();
  const parity = greenParity(plane.mosaic);
  const columns = Math.floor(plane.width / bin);
  const rows = Math.floor(plane.height / bin);
  const values = new Float32Array(columns * rows);
  const level = area.floats(Math.ceil(columns / SKY_RUN));
  const noise = area.floats(Math.ceil(columns / SKY_RUN));
  const line = area.floats(columns);
  for (let row = 0; row < rows; row += 1) {
    if (row % SKY_ROWS === 0)
      skyLine(plane, background, bin, row + (SKY_ROWS - 1) / 2, columns, level.view, noise.view);
    pixels.kernels.blockSignal(
      pixels.address,
      pixels.isFloat,
      plane.width,
      bin,
      rowStep,
      parity ?? -1,
      row,
      columns,
      SKY_RUN,
      level.address,
      noise.address,
      CEILING,
      line.address,
    );
    values.set(line.view, row * columns);
  }
  return { bin, columns, rows, values };
}
