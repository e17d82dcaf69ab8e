import type { PixelPlane } from '../fits/types.js';
import { backgroundAt, noiseAt, greenParity } from '../image/index.js';
import type { BackgroundMap } from '../image/types.js';
import { residentPixels } from '../kernels/index.js';

/** A square of pixels about a star, in ADU above the sky map; reused from star to star. */
export interface StarWindow {
  /** 0-based column and row of the window's first pixel. */
  x0: number;
  y0: number;
  /** Pixels along a side of what was gathered. */
  width: number;
  height: number;
  /** ADU above the sky map's level at the star; row-major. */
  readonly values: Float32Array;
  /** 1 where a pixel may be used (not blank, not another colour of a mosaic, not a neighbour's). */
  readonly usable: Uint8Array;
  /** Sky map at the star, ADU. */
  sky: number;
  /** Noise of a pixel at the star, ADU. */
  noise: number;
  /** Highest raw value in the inner part, ADU. */
  highest: number;
  /** Window cut by the image border; blank pixels inside. */
  isCut: boolean;
  blanks: number;
}

export function makeStarWindow(maxRadiusPx: number): StarWindow {
  const side = 2 * Math.ceil(maxRadiusPx) + 3;
  return {
    x0: 0,
    y0: 0,
    width: 0,
    height: 0,
    values: new Float32Array(side * side),
    usable: new Uint8Array(side * side),
    sky: NaN,
    noise: NaN,
    highest: NaN,
    isCut: false,
    blanks: 0,
  };
}

/** Which pixels of a window stand out of their neighbours as spikes (hot pixels, hits); `ratio` from `spikeRatio`. */
export interface SpikeTest {
  /** A pixel lower than this many times the noise is left alone. */
  readonly aboveNoise: number;
  readonly ratio: number;
}

/** Cuts windows out of one frame, each into the same place. */
export interface WindowCutter {
  readonly window: StarWindow;
  /** Fill the window with the pixels within `radiusPx` (a square) of FITS position (x, y), cut at the border; with `spikes`, hot pixels and hits are masked. */
  readonly cut: (x: number, y: number, radiusPx: number, spikes?: SpikeTest) => void;
}

/** A cutter of windows up to `maxRadiusPx`. It works in the pixels' own memory: no other step that lays out work there may come in between. */
export function windowCutter(
  plane: PixelPlane,
  background: BackgroundMap,
  maxRadiusPx: number,
): WindowCutter {
  const { width, height, scale, zero } = plane;
  const parity = greenParity(plane.mosaic);
  const window = makeStarWindow(maxRadiusPx);
  const { kernels, address, isFloat, workArea } = residentPixels(plane.data);
  const area = workArea();
  const values = area.floats(window.values.length);
  const usable = area.bytes(window.usable.length);
  const cut: WindowCutter['cut'] = (x, y, radiusPx, spikes) => {
    const x0 = Math.floor(x - 1 - radiusPx);
    const y0 = Math.floor(y - 1 - radiusPx);
    const x1 = Math.ceil(x - 1 + radiusPx);
    const y1 = Math.ceil(y - 1 + radiusPx);
    window.x0 = Math.max(0, x0);
    window.y0 = Math.max(0, y0);
    window.width = Math.max(0, Math.min(width - 1, x1) - window.x0 + 1);
    window.height = Math.max(0, Math.min(height - 1, y1) - window.y0 + 1);
    window.isCut = x0 < 0 || y0 < 0 || x1 >= width || y1 >= height;
    window.sky = backgroundAt(background, x, y);
    window.noise = noiseAt(background, x, y);
    window.blanks = kernels.gatherWindow(
      address,
      isFloat,
      width,
      window.x0,
      window.y0,
      window.width,
      window.height,
      scale,
      zero - window.sky,
      parity ?? -1,
      values.address,
      usable.address,
    );
    if (spikes !== undefined)
      kernels.maskSpikes(
        values.address,
        usable.address,
        window.width,
        window.height,
        spikes.aboveNoise * window.noise,
        window.noise,
        spikes.ratio,
        parity === null ? 0 : 1,
      );
    const count = window.width * window.height;
    window.values.set(values.view.subarray(0, count));
    window.usable.set(usable.view.subarray(0, count));
  };
  return { window, cut };
}
