import type { BackgroundMap } from './types.js';

type Tiling = Pick<BackgroundMap, 'tileSizePx' | 'columns' | 'rows'>;

/** Bilinear reading of one of the map's tile arrays at 0-based pixel centre (x0, y0); beyond the outer tile centres the slope goes on. */
export function interpolateTiles(map: Tiling, tiles: Float64Array, x0: number, y0: number): number {
  const [i, s] = cell((x0 + 0.5) / map.tileSizePx - 0.5, map.columns);
  const [j, t] = cell((y0 + 0.5) / map.tileSizePx - 0.5, map.rows);
  const right = map.columns > 1 ? 1 : 0;
  const up = map.rows > 1 ? map.columns : 0;
  const k = j * map.columns + i;
  const low = tiles[k] + s * (tiles[k + right] - tiles[k]);
  const high = tiles[k + up] + s * (tiles[k + up + right] - tiles[k + up]);
  return low + t * (high - low);
}

function cell(position: number, tiles: number): [index: number, fraction: number] {
  const index = Math.max(0, Math.min(tiles - 2, Math.floor(position)));
  return [index, Math.max(-0.5, Math.min(1.5, position - index))];
}

/** Sky level, ADU, at FITS pixel position (x, y) (first pixel = 1, 1). */
export function backgroundAt(map: BackgroundMap, x: number, y: number): number {
  return interpolateTiles(map, map.level, x - 1, y - 1);
}

/** Standard deviation of one pixel's noise, ADU, at FITS pixel position (x, y). */
export function noiseAt(map: BackgroundMap, x: number, y: number): number {
  return interpolateTiles(map, map.noise, x - 1, y - 1);
}
