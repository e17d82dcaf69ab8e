import type { PixelPlane } from '../fits/types.js';
import { backgroundAt, noiseAt, greenParity } from '../image/index.js';
import type { BackgroundMap } from '../image/types.js';
import { residentPixels, type StarDesk } from '../kernels/index.js';

/** A square of pixels about a star, in ADU above the sky map, on the desk of the kernels; reused from star to star. */
export interface StarWindow {
  desk: StarDesk;
  /** 0-based column and row of the window's first pixel. */
  x0: number;
  y0: number;
  /** Pixels along a side of what was gathered. */
  width: number;
  height: number;
  /** ADU above the sky map's level at the star; row-major, longer than the window. */
  values: Float32Array;
  /** 1 where a pixel may be used (not blank, not another colour of a mosaic, not a neighbour's). */
  usable: Uint8Array;
  /** Sky map at the star, ADU. */
  sky: number;
  /** Noise of a pixel at the star, ADU. */
  noise: number;
  /** Window cut by the image border; blank pixels inside. */
  isCut: boolean;
  blanks: number;
}

/** Pixels of the largest window that `cut` makes for that radius. */
export const windowRoom = (radiusPx: number): number => (2 * Math.ceil(radiusPx) + 3) ** 2;

/** A window on that desk, empty. */
export function makeStarWindow(desk: StarDesk): StarWindow {
  return {
    desk,
    x0: 0,
    y0: 0,
    width: 0,
    height: 0,
    values: desk.values,
    usable: desk.usable,
    sky: NaN,
    noise: NaN,
    isCut: false,
    blanks: 0,
  };
}

function layOn(window: StarWindow, desk: StarDesk): void {
  window.desk = desk;
  window.values = desk.values;
  window.usable = desk.usable;
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

/** A cutter of windows, most of them within `usualRadiusPx`, on the desk in the pixels' own memory: a later cutter takes the desk over. */
export function windowCutter(
  plane: PixelPlane,
  background: BackgroundMap,
  usualRadiusPx: number,
): WindowCutter {
  const { width, height, scale, zero } = plane;
  const parity = greenParity(plane.mosaic);
  const { kernels, address, isFloat, desk } = residentPixels(plane.data);
  const window = makeStarWindow(desk(windowRoom(usualRadiusPx)));
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
    // A star may be much wider than the frame's others.
    const count = window.width * window.height;
    if (count > window.desk.room) layOn(window, desk(count));
    const { valuesAt, usableAt } = window.desk;
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
      valuesAt,
      usableAt,
    );
    if (spikes !== undefined)
      kernels.maskSpikes(
        valuesAt,
        usableAt,
        window.width,
        window.height,
        spikes.aboveNoise * window.noise,
        window.noise,
        spikes.ratio,
        parity === null ? 0 : 1,
      );
  };
  return { window, cut };
}
