import type { PixelPlane } from '../fits/types.js';
import { openBlocks, visitBlocks, type BlockRows, type BlockSource } from './block-rows.js';
import type { BackgroundMap } from './types.js';

/** Frame reduced to blocks: mean light above the sky of each block, in units of the block mean's noise. */
export interface CoarseSignal {
  /** Pixels along the side of a block. */
  readonly bin: number;
  readonly columns: number;
  readonly rows: number;
  readonly values: Float32Array;
}

/** A coarse signal in the making: shown the rows of finer blocks in groups of so many, from the first to the last. */
export interface SignalCollector {
  readonly signal: CoarseSignal;
  readonly groupRows: number;
  readonly add: (group: BlockRows) => void;
}

/** Blocks along the long side to which a frame is reduced. */
const BLOCKS = 800;
/** Nothing counts more than this many sd of a pixel's noise, so that hot pixels and star centres do not outweigh a faint trail. */
const CEILING = 8;
/** Rows that share one reading of the sky map, about. */
const SKY_ROWS = 8;

/** Pixels along the side of a block that makes 800 of the frame's long side. */
export function coarseBlockPx({ width, height }: PixelPlane): number {
  return Math.max(2, Math.ceil(Math.max(width, height) / BLOCKS));
}

/** Makes blocks of `sidePx` pixels, or a little more, of finer blocks while those go by. */
export function signalCollector(blocks: BlockSource, sidePx: number): SignalCollector {
  const { kernels, area, isFloat, stride, quiet, sky } = blocks;
  const size = Math.ceil(sidePx / blocks.bin);
  const columns = Math.floor(blocks.columns / size);
  const rows = Math.floor(blocks.rows / size);
  const values = new Float32Array(columns * rows);
  const tops = sky.limits(CEILING, isFloat);
  const room = area.floats(blocks.columns + 8);
  const line = area.floats(columns);
  const rowBytes = stride * (isFloat ? 4 : 2);
  return {
    signal: { bin: size * blocks.bin, columns, rows, values },
    groupRows: size * Math.ceil(SKY_ROWS / size),
    add: (group) => {
      for (let row = group.first; row + size <= group.end; row += size) {
        kernels.blockSignal(
          group.address + (row - group.first) * rowBytes,
          isFloat,
          stride,
          blocks.columns,
          size,
          sky.level.address,
          sky.noise.address,
          tops,
          quiet,
          room.address,
          line.address,
        );
        values.set(line.view, (row / size) * columns);
      }
    },
  };
}

/** The coarse signal of a frame in blocks of about `sidePx` pixels; on a mosaic that of its green sites. `scalePx`: half-flux diameter of the star image. */
export function coarseSignal(
  plane: PixelPlane,
  background: BackgroundMap,
  scalePx: number,
  sidePx = coarseBlockPx(plane),
): CoarseSignal {
  const blocks = openBlocks(plane, background, 2, scalePx);
  const { signal, groupRows, add } = signalCollector(blocks, sidePx);
  visitBlocks(blocks, [0, blocks.rows], groupRows, add);
  return signal;
}
