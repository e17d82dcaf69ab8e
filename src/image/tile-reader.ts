import type { TileSampler } from './tile-sampler.js';

/** First look at a tile, stored units. */
export interface CoarseReading {
  /** Pixels sampled. */
  readonly n: number;
  readonly median: number;
  /** Spread of the darker half, as the standard deviation of a normal: light on top of the sky does not widen it. */
  readonly sd: number;
  /** Mean of the normal core of the pixels where starlight hardly reaches, and how many are in it. */
  readonly coreMean: number;
  readonly used: number;
}

/** Normal core of a tile less a plane, stored units. */
export interface CoreReading {
  /** Pixels sampled. */
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
  readonly used: number;
}

/** Reads level and noise of single tiles: columns x0..x1-1 and rows y0..y1-1, 0-based. */
export interface TileReader {
  readonly coarse: (x0: number, y0: number, x1: number, y1: number) => CoarseReading;
  /** Of the pixels less r00 + gx (x-x0) + gy (y-y0); `isQuiet`: of those with dark surroundings only, see `gatherQuiet`. `sd`: a first guess. */
  readonly core: (
    isQuiet: boolean,
    bounds: readonly [x0: number, y0: number, x1: number, y1: number],
    r00: number,
    gx: number,
    gy: number,
    sd: number,
  ) => CoreReading;
}

/** Core bounds reach this many standard deviations below the sky. */
export const BELOW = 3;
/** In a first look, and where no surroundings are dark, pixels up to this many standard deviations above the sky are taken for sky: higher lets starlight in, lower makes the core noisy. */
export const TRUSTED_ABOVE = 0.8;
/** Of pixels with dark surroundings, nearly all: photon noise is skewed, and its dark side alone reads up to 4 % less noise than there is. */
export const QUIET_ABOVE = 3;

/** Readings from samples of any pixels. */
export function readerOf(sampler: TileSampler): TileReader {
  return {
    coarse: (...bounds) => {
      const n = sampler.gather(...bounds);
      const { mean: median, sd } = sampler.middle(n);
      const core = sampler.core(n, { mean: median, sd }, BELOW, TRUSTED_ABOVE);
      return { n, median, sd, coreMean: core.mean, used: core.used };
    },
    core: (isQuiet, [x0, y0, x1, y1], r00, gx, gy, sd) => {
      const gather = isQuiet ? sampler.gatherQuiet : sampler.gatherResiduals;
      const n = gather(x0, y0, x1, y1, r00, gx, gy);
      const above = isQuiet ? QUIET_ABOVE : TRUSTED_ABOVE;
      return { n, ...sampler.core(n, { mean: 0, sd }, BELOW, above) };
    },
  };
}
