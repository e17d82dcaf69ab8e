import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap } from './types.js';

/** Blocks that share one reading of the map: the sky hardly changes over so few. */
export const SKY_RUN = 8;

/**
 * Sky level and pixel noise along one row of blocks of `bin` pixels, stored units: one entry for every `SKY_RUN` of `columns` blocks.
 * `row` may lie between rows.
 */
export function skyLine(
  plane: PixelPlane,
  background: BackgroundMap,
  bin: number,
  row: number,
  columns: number,
  level: Float32Array,
  noise: Float32Array,
): void {
  const y = (row + 0.5) * bin - 0.5;
  const levels = tileLine(background, background.level, y);
  const noises = tileLine(background, background.noise, y);
  const toStored = 1 / Math.abs(plane.scale);
  const last = Math.max(0, background.columns - 2);
  const right = background.columns > 1 ? 1 : 0;
  for (let c = 0, run = 0; c < columns; c += SKY_RUN, run += 1) {
    const position = ((c + SKY_RUN / 2) * bin) / background.tileSizePx - 0.5;
    const i = Math.max(0, Math.min(last, Math.floor(position)));
    const s = Math.max(-0.5, Math.min(1.5, position - i));
    level[run] = (levels[i] + s * (levels[i + right] - levels[i]) - plane.zero) / plane.scale;
    noise[run] = (noises[i] + s * (noises[i + right] - noises[i])) * toStored;
  }
}

/** The map between its rows of tiles, at 0-based pixel row y: one value a column of tiles; see `interpolateTiles`. */
function tileLine(
  { tileSizePx, columns, rows }: BackgroundMap,
  tiles: Float64Array,
  y: number,
): Float64Array {
  const position = (y + 0.5) / tileSizePx - 0.5;
  const j = Math.max(0, Math.min(rows - 2, Math.floor(position)));
  const t = Math.max(-0.5, Math.min(1.5, position - j));
  const up = rows > 1 ? columns : 0;
  return Float64Array.from({ length: columns }, (_, i) => {
    const k = j * columns + i;
    return tiles[k] + t * (tiles[k + up] - tiles[k]);
  });
}
