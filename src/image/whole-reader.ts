import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { coreNumbers } from '../stats/index.js';
import { greenParity } from './green-sites.js';
import { BELOW, QUIET_ABOVE, TRUSTED_ABOVE, type TileReader } from './tile-reader.js';
import { SD_PER_QUARTILE } from './tile-sampler.js';

/** Values less the sky are kept to an eighth of a step, where their noise leaves room for it in 16 bits. */
const FINE_SHIFT = 3;
const FINE_NOISE = 1000;
/** Before the first tile is read. */
const ANY_SPREAD = 16;

/** What a first look samples of a tile, and a second: pixels, about. */
const COARSE_SAMPLE = 768;
const FINE_SAMPLE = 1536;

/**
 * Readings of planes of 16-bit integers whose noise is several of their steps: all in whole numbers, eight at a time, exact to an eighth of a step;
 * some rows of a tile, whole vectors of columns only. The row steps are odd: even ones would see one row parity of a mosaic, or of a sensor that reads rows in pairs.
 * `noise`: about that of a pixel, stored units, when it is known. Takes the kernels' whole work area.
 */
export function wholeReader(plane: PixelPlane, tileSizePx: number, noise = FINE_NOISE): TileReader {
  const { width, height, mosaic } = plane;
  const parity = greenParity(mosaic) ?? -1;
  const { kernels, address: pixels, workArea } = residentPixels(plane.data);
  const area = workArea();
  const rowStep = (wanted: number): number => {
    const step = (tileSizePx * (mosaic === null ? tileSizePx : tileSizePx / 2)) / wanted;
    return 2 * Math.round(Math.max(0, step - 1) / 2) + 1;
  };
  const coarseStep = rowStep(COARSE_SAMPLE);
  const fineStep = rowStep(FINE_SAMPLE);
  // The largest tiles, at the border, are half as large again; the number of entries stands before them.
  const rows = Math.ceil((1.5 * tileSizePx) / Math.min(coarseStep, fineStep)) + 1;
  const sample = area.bytes(16 + 2 * rows * (1.5 * tileSizePx + 8)).address + 16;
  const cut = (above: number): number => {
    const numbers = coreNumbers(BELOW, above);
    const placed = area.doubles(numbers.length);
    placed.view.set(numbers);
    return placed.address;
  };
  const trusted = cut(TRUSTED_ABOVE);
  const quiet = cut(QUIET_ABOVE);
  const out = area.doubles(5);
  const { view } = out;
  const shift = noise < FINE_NOISE ? FINE_SHIFT : 0;
  let guess = 0;
  let spread = ANY_SPREAD;
  return {
    coarse: (x0, y0, x1, y1) => {
      const n = kernels.readCoarseTile(
        pixels,
        width,
        height,
        x0,
        y0,
        x1,
        y1,
        coarseStep,
        parity,
        guess,
        spread,
        SD_PER_QUARTILE,
        trusted,
        sample,
        out.address,
      );
      const median = view[0];
      const sd = SD_PER_QUARTILE * (median - view[1]);
      // The next tile is like this one.
      guess = median;
      spread = Math.max(1, sd);
      return { n, median, sd, coreMean: view[2], used: view[4] };
    },
    core: (isQuiet, [x0, y0, x1, y1], r00, gx, gy, sd) => {
      const n = kernels.readTileCore(
        pixels,
        width,
        height,
        x0,
        y0,
        x1,
        y1,
        fineStep,
        parity,
        isQuiet ? 1 : 0,
        r00,
        gx,
        gy,
        shift,
        sd,
        isQuiet ? quiet : trusted,
        sample,
        out.address,
      );
      return { n, mean: view[0], sd: view[1], used: view[2] };
    },
  };
}
