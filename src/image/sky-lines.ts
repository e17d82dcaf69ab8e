import type { PixelPlane } from '../fits/types.js';
import type { KernelExports, Placed, WorkArea } from '../kernels/index.js';
import type { BackgroundMap } from './types.js';

/** Blocks that share one reading of the map: the sky hardly changes over so few, and a vector of the kernels holds as many. */
export const SKY_RUN = 8;

/** Sky level and pixel noise along a row of blocks, stored units: one entry for every `SKY_RUN` blocks; and limits made of them. */
export interface SkyLines {
  readonly level: Placed<Float32Array>;
  readonly noise: Placed<Float32Array>;
  /** Read the map along a row of blocks (which may lie between rows), and make the limits anew. */
  readonly readAt: (row: number) => void;
  /** Where level + `factor` x noise will stand after each reading: floats, or whole numbers rounded down. */
  readonly limits: (factor: number, isFloat: 0 | 1) => number;
}

/** A background map where the kernels can read it, stored units. */
export interface SkyTiles {
  readonly map: Pick<BackgroundMap, 'tileSizePx' | 'columns' | 'rows'>;
  readonly level: Placed<Float32Array>;
  readonly noise: Placed<Float32Array>;
}

/** Lays a plane's background map out in the work area. */
export function placeSkyTiles(area: WorkArea, plane: PixelPlane, map: BackgroundMap): SkyTiles {
  const count = map.columns * map.rows;
  const tiles = { map, level: area.floats(count), noise: area.floats(count) };
  toStored(map.level, plane.zero, plane.scale, tiles.level.view);
  toStored(map.noise, 0, Math.abs(plane.scale), tiles.noise.view);
  return tiles;
}

function toStored(values: Float64Array, zero: number, scale: number, stored: Float32Array): void {
  for (let k = 0; k < values.length; k += 1) stored[k] = (values[k] - zero) / scale;
}

/** The map along rows of `columns` blocks of `bin` pixels. */
export function makeSkyLines(
  kernels: KernelExports,
  area: WorkArea,
  tiles: SkyTiles,
  bin: number,
  columns: number,
): SkyLines {
  const { tileSizePx, columns: across, rows: down } = tiles.map;
  const runs = Math.ceil(columns / SKY_RUN);
  const lines = { level: area.floats(runs), noise: area.floats(runs) };
  const limits: { readonly factor: number; readonly isFloat: 0 | 1; readonly address: number }[] = [];
  const step = (SKY_RUN * bin) / tileSizePx;
  return {
    ...lines,
    readAt: (row) => {
      const y = ((row + 0.5) * bin) / tileSizePx - 0.5;
      for (const what of ['level', 'noise'] as const)
        kernels.tileLine(
          tiles[what].address,
          across,
          down,
          y,
          step / 2 - 0.5,
          step,
          runs,
          lines[what].address,
        );
      for (const { factor, isFloat, address } of limits)
        kernels.limitLine(lines.level.address, lines.noise.address, runs, factor, isFloat, address);
    },
    limits: (factor, isFloat) => {
      // A last look at eight runs together may go past the end.
      const { address } = area.floats(runs + SKY_RUN);
      limits.push({ factor, isFloat, address });
      return address;
    },
  };
}
