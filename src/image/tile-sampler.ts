import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { coreNumbers, type NormalCore } from '../stats/index.js';
import { greenParity } from './green-sites.js';

/** Gathers a thinned sample of the pixels of a rectangle, on a colour mosaic of the green ones only, and knows its statistics. */
export interface TileSampler {
  /** The last sample: its first entries. */
  readonly buffer: Float32Array;
  /** Sample 0-based columns x0..x1-1 and rows y0..y1-1, stored units; returns how many pixels count (blank ones do not). */
  readonly gather: (x0: number, y0: number, x1: number, y1: number) => number;
  /** The same with a plane subtracted: r00 + gx (x-x0) + gy (y-y0). */
  readonly gatherResiduals: (
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    r00: number,
    gx: number,
    gy: number,
  ) => number;
  /**
   * The same, of those pixels only whose surroundings are no brighter than the reference: the mean of the eight pixels two columns or rows away (on a mosaic they have
   * the pixel's own colour). The choice looks at other pixels than the one taken, so that it keeps starlight out without touching the distribution of the noise.
   */
  readonly gatherQuiet: TileSampler['gatherResiduals'];
  /** Median of the last sample, and the spread of its darker half as the standard deviation of a normal: light on top of the sky does not widen it. */
  readonly middle: (count: number) => { readonly mean: number; readonly sd: number };
  /** Normal core of the last sample between `below` and `above` sd of its mean, from a first guess on; see `coreNumbers`. */
  readonly core: (
    count: number,
    start: { readonly mean: number; readonly sd: number },
    below: number,
    above: number,
  ) => NormalCore;
}

/** Standard deviation of a normal over the distance from its median to its quartile. */
export const SD_PER_QUARTILE = 1.4826;

/**
 * A sampler that takes every `rowStep`-th row and every `columnStep`-th column (the columns shifted from row to row); one at a time.
 *
 * `rowStep` must be odd: an even step would see one row parity of a mosaic, or of a sensor that reads rows in pairs.
 * `dither` (stored units) spreads each value evenly over one quantisation step with a low-discrepancy sequence, so that
 * statistics of coarse integers see a continuous distribution; its variance is dither^2 / 12.
 */
export function makeTileSampler(
  plane: PixelPlane,
  tileSizePx: number,
  rowStep: number,
  columnStep: number,
  dither: number,
): TileSampler {
  if (rowStep % 2 === 0) throw new RangeError('the row step of a tile sampler must be odd');
  const parity = greenParity(plane.mosaic);
  const step = parity === null ? columnStep : Math.max(2, columnStep + (columnStep % 2));
  const pixels = residentPixels(plane.data);
  const { kernels } = pixels;
  const area = pixels.workArea();
  const most = Math.ceil((2 * tileSizePx) / rowStep + 1) * Math.ceil((2 * tileSizePx) / step + 1);
  const sample = area.floats(most);
  const room = area.floats(most);
  const cut = area.doubles(16);
  const found = area.doubles(3);

  const gather = (
    isQuiet: 0 | 1,
    [x0, y0, x1, y1, r00, gx, gy]: Parameters<TileSampler['gatherResiduals']>,
  ): number =>
    kernels.gatherTile(
      pixels.address,
      pixels.isFloat,
      plane.width,
      plane.height,
      x0,
      y0,
      x1,
      y1,
      rowStep,
      step,
      parity ?? -1,
      isQuiet,
      r00,
      gx,
      gy,
      dither,
      sample.address,
    );
  return {
    buffer: sample.view,
    gather: (x0, y0, x1, y1) => gather(0, [x0, y0, x1, y1, 0, 0, 0]),
    gatherResiduals: (...args) => gather(0, args),
    gatherQuiet: (...args) => gather(1, args),
    middle: (count) => {
      const mean = kernels.median(sample.address, count);
      return { mean, sd: SD_PER_QUARTILE * kernels.medianBelow(sample.address, count, mean, room.address) };
    },
    core: (count, { mean, sd }, below, above) => {
      cut.view.set(coreNumbers(below, above));
      kernels.normalCore(sample.address, count, mean, sd, cut.address, found.address);
      return { mean: found.view[0], sd: found.view[1], used: found.view[2] };
    },
  };
}
