import type { StarWindow } from './star-window.js';

/** Pixels of one star as a fit reads them, on the window's desk: overwritten by the next star. */
export interface ChosenPixels {
  /** Positions in the window's own columns and rows. */
  readonly x: Float32Array;
  readonly y: Float32Array;
  /** ADU above the local sky. */
  readonly value: Float32Array;
  readonly count: number;
}

/** Lines of the desk that hold them. */
export const PIXEL_LINES = { x: 0, y: 1, value: 2 } as const;

/** The window's usable pixels within `radiusPx` of 0-based (x, y), less `pedestal`. */
export function choosePixels(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
): ChosenPixels {
  const { lines } = window.desk;
  const xs = lines[PIXEL_LINES.x];
  const ys = lines[PIXEL_LINES.y];
  const data = lines[PIXEL_LINES.value];
  const limit = radiusPx * radiusPx;
  let n = 0;
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - y;
    if (dy * dy > limit) continue;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - x;
      const k = j * window.width + i;
      if (!window.usable[k] || dx * dx + dy * dy > limit) continue;
      xs[n] = i;
      ys[n] = j;
      data[n] = window.values[k] - pedestal;
      n += 1;
    }
  }
  return { x: xs, y: ys, value: data, count: n };
}
