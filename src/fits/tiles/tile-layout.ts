import type { Header } from '../header.js';
import { TileError } from './tile-error.js';

/** One tile's place in the picture: origin and size along each axis, 0-based. */
export interface Tile {
  readonly origin: readonly number[];
  readonly size: readonly number[];
  readonly pixels: number;
}

/** How tiles cover the picture; tile 0 is at the origin, the first axis runs fastest (FITS Standard 4.0, section 10.1). */
export interface TileLayout {
  readonly count: number;
  tile(index: number): Tile;
}

/** Most pixels a picture may claim to have: 2^31, a 46000 x 46000 mosaic. */
const MAX_PIXELS = 2 ** 31;

/** Read ZTILEn (default: one row a tile). Throws TileError for sizes that make no sense. */
export function tileLayout(header: Header, axes: readonly number[]): TileLayout {
  const pixels = axes.reduce((product, length) => product * length, 1);
  if (axes.length === 0 || axes.some((length) => length < 1) || pixels > MAX_PIXELS) {
    throw new TileError(`has impossible axes (${axes.join(' x ')})`);
  }
  const sizes = axes.map((length, i) => {
    const size = header.has(`ZTILE${i + 1}`) ? header.integer(`ZTILE${i + 1}`) : i === 0 ? length : 1;
    if (size === null || size < 1) throw new TileError(`has an impossible ZTILE${i + 1}`);
    return Math.min(size, length);
  });
  const counts = axes.map((length, i) => Math.ceil(length / sizes[i]!));
  return {
    count: counts.reduce((product, count) => product * count, 1),
    tile(index) {
      let rest = index;
      const origin: number[] = [];
      const size: number[] = [];
      let tilePixels = 1;
      axes.forEach((length, i) => {
        const start = (rest % counts[i]!) * sizes[i]!;
        rest = Math.floor(rest / counts[i]!);
        origin.push(start);
        size.push(Math.min(sizes[i]!, length - start));
        tilePixels *= size[i]!;
      });
      return { origin, size, pixels: tilePixels };
    },
  };
}

/** Call `visit` for each run of a tile along the first axis: where it starts in the tile, where in the whole picture, its length. */
export function forEachRun(
  tile: Tile,
  axes: readonly number[],
  visit: (tileStart: number, pictureStart: number, length: number) => void,
): void {
  const length = tile.size[0]!;
  const runs = tile.pixels / length;
  for (let run = 0; run < runs; run++) {
    let rest = run;
    let stride = axes[0]!;
    let start = tile.origin[0]!;
    for (let i = 1; i < axes.length; i++) {
      start += (tile.origin[i]! + (rest % tile.size[i]!)) * stride;
      rest = Math.floor(rest / tile.size[i]!);
      stride *= axes[i]!;
    }
    visit(run * length, start, length);
  }
}
