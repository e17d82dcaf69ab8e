/** Sky level and noise over a frame, one value a tile, in ADU (physical units); interpolate with `backgroundAt`. */
export interface BackgroundMap {
  readonly tileSizePx: number;
  readonly columns: number;
  readonly rows: number;
  /** Sky level per tile, row-major, ADU. */
  readonly level: Float64Array;
  /** Standard deviation of one pixel's noise per tile, ADU. */
  readonly noise: Float64Array;
  /** Median level and noise over the frame, ADU. */
  readonly medianLevel: number;
  readonly medianNoise: number;
  /** Highest minus lowest level of the smooth gradient, per cent of the median level; null when the level is not above zero. */
  readonly gradientPercent: number | null;
  /** Direction in which the sky gets brighter, degrees in [0, 360). */
  readonly gradientDirectionDeg: number | null;
}

/** A straight trail of light (satellite, aircraft) across the frame. */
export interface Streak {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly lengthPx: number;
  /** Axis angle, degrees in [0, 180). */
  readonly angleDeg: number;
  readonly widthPx: number;
}

/** Star-like sources found on a frame, brightest first; FITS pixel coordinates (first pixel = 1, 1), good to about a third of a star's width. */
export interface SourceList {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Flux from the matched filter, ADU. */
  readonly flux: Float64Array;
  /** Signal to noise in the matched filter, sky noise only. */
  readonly snr: Float64Array;
  /** Width of the frame's star image that the search was made for: half-flux diameter, pixels. */
  readonly scalePx: number;
  /** Single pixels that stand out without any light around them. */
  readonly hotPixels: number;
}
