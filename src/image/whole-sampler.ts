import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { greenParity } from './green-sites.js';
import { SD_PER_QUARTILE, type TileSampler } from './tile-sampler.js';

/** Values less the sky are kept to an eighth of a step, where their noise leaves room for it in 16 bits. */
const FINE_SHIFT = 3;
const FINE_NOISE = 1000;

/**
 * A tile sampler for planes of 16-bit integers whose noise is several of their steps: all in whole numbers, eight at a time, up to an eighth of a step exact;
 * every `rowStep`-th row (odd: see `makeTileSampler`), whole vectors of columns only. `noise`: about that of a pixel, stored units.
 */
export function makeWholeSampler(
  plane: PixelPlane,
  tileSizePx: number,
  rowStep: number,
  noise: number,
): TileSampler {
  if (rowStep % 2 === 0) throw new RangeError('the row step of a tile sampler must be odd');
  const parity = greenParity(plane.mosaic) ?? -1;
  const resident = residentPixels(plane.data);
  const { kernels } = resident;
  const area = resident.workArea();
  // Number of entries; behind it the entries themselves, and doubles for sums.
  const head = area.integers(4);
  const sample = head.address + 16;
  const most = Math.ceil((2 * tileSizePx) / rowStep + 1) * (2 * tileSizePx + 8);
  area.bytes(2 * most + 16);
  const sums = area.doubles(3);
  const fine = noise < FINE_NOISE ? FINE_SHIFT : 0;
  /** What the entries of the last sample are counted from, and how many make one stored unit. */
  let origin = 0;
  let unit = 1;
  let last = { mean: 0, sd: noise };

  const gather = (
    isQuiet: 0 | 1,
    shift: number,
    [x0, y0, x1, y1, r00, gx, gy]: Parameters<TileSampler['gatherResiduals']>,
  ): number => {
    unit = 2 ** shift;
    return kernels.gatherWhole(
      resident.address,
      plane.width,
      plane.height,
      x0,
      y0,
      x1,
      y1,
      rowStep,
      parity,
      isQuiet,
      0,
      r00,
      gx,
      gy,
      shift,
      sample,
    );
  };
  const residuals = (isQuiet: 0 | 1, args: Parameters<TileSampler['gatherResiduals']>): number => {
    origin = 0;
    return gather(isQuiet, fine, args);
  };
  return {
    gather: (x0, y0, x1, y1) => {
      // From the middle of the range every value can be told.
      origin = 0x8000;
      return gather(0, 0, [x0, y0, x1, y1, origin, 0, 0]);
    },
    gatherResiduals: (...args) => residuals(0, args),
    gatherQuiet: (...args) => residuals(1, args),
    middle: (count) => {
      const entries = head.view[0];
      const spread = last.sd * unit;
      const guess = (last.mean - origin) * unit;
      const median = kernels.wholeQuantile(sample, entries, (count - 1) / 2, guess, spread);
      const quartile = kernels.wholeQuantile(
        sample,
        entries,
        (count - 1) / 4,
        median - 0.67 * spread,
        spread,
      );
      // The next tile is like this one.
      const sd = Math.max(1, (SD_PER_QUARTILE * (median - quartile)) / unit);
      last = { mean: median / unit + origin, sd };
      return { mean: last.mean, sd: (SD_PER_QUARTILE * (median - quartile)) / unit };
    },
    sumsWithin: () => (centre, low, high) => {
      const inEntries = (value: number): number => (value - origin) * unit;
      kernels.wholeSums(
        sample,
        head.view[0],
        inEntries(centre),
        inEntries(low),
        inEntries(high),
        sums.address,
      );
      const [n, sum, squares] = sums.view;
      return { n, sum: sum / unit, squares: squares / (unit * unit) };
    },
  };
}
