import type { PixelPlane } from '../fits/types.js';
import { backgroundAt, noiseAt, greenParity } from '../image/index.js';
import type { BackgroundMap } from '../image/types.js';

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

/** Fill `window` with the pixels within `radiusPx` (a square) of FITS position (x, y), cut at the border. */
export function gatherWindow(
  plane: PixelPlane,
  background: BackgroundMap,
  x: number,
  y: number,
  radiusPx: number,
  window: StarWindow,
): void {
  const { data, width, height, scale, zero } = plane;
  const parity = greenParity(plane.mosaic);
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
  const offset = zero - window.sky;
  const { values, usable } = window;
  let blanks = 0;
  let k = 0;
  for (let j = 0; j < window.height; j += 1) {
    const from = (window.y0 + j) * width + window.x0;
    for (let at = from; at < from + window.width; at += 1, k += 1) values[k] = data[at] * scale + offset;
  }
  if (parity === null) usable.fill(1, 0, k);
  else {
    k = 0;
    for (let j = 0; j < window.height; j += 1) {
      let isGreen = ((window.x0 + window.y0 + j) & 1) === parity ? 1 : 0;
      for (let i = 0; i < window.width; i += 1, k += 1, isGreen ^= 1) usable[k] = isGreen;
    }
  }
  if (data instanceof Float32Array) {
    for (let b = 0; b < k; b += 1) {
      if (values[b] === values[b]) continue;
      values[b] = 0;
      usable[b] = 0;
      blanks += 1;
    }
  }
  window.blanks = blanks;
}
