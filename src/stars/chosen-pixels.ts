import type { StarDesk } from '../kernels/index.js';
import type { StarWindow } from './star-window.js';

/** Pixels of one star as a fit reads them, on the window's desk until the next star's are laid there. */
export interface ChosenPixels {
  readonly desk: StarDesk;
  /** Column and row of the plane, 0-based, that the pixels' own are counted from. */
  readonly x0: number;
  readonly y0: number;
  /** Where they were chosen about, 0-based in the plane, and how far from there. */
  readonly x: number;
  readonly y: number;
  readonly radiusPx: number;
  readonly count: number;
}

/** The same, kept for later. */
export interface KeptPixels extends ChosenPixels {
  /** Columns, then rows, then values (ADU above the local sky): `count` of each. */
  readonly floats: Float32Array;
}

/** The desk's first lines hold them: columns, rows, values. */
export const PIXELS_LINE = 0;

/** Floats from one line of the desk to the next. */
export function strideOf({ linesAt }: StarDesk): number {
  return (linesAt[1] - linesAt[0]) / 4;
}

/** Lay the window's usable pixels within `radiusPx` of 0-based (x, y), less `pedestal`, on the desk. */
export function choosePixels(
  window: StarWindow,
  x: number,
  y: number,
  radiusPx: number,
  pedestal: number,
): ChosenPixels {
  const { desk, x0, y0, width, height } = window;
  const count = desk.kernels.choosePixels(
    desk.valuesAt,
    desk.usableAt,
    width,
    height,
    x - x0,
    y - y0,
    radiusPx,
    pedestal,
    desk.linesAt[PIXELS_LINE],
    strideOf(desk),
  );
  return { desk, x0, y0, x, y, radiusPx, count };
}

/** Take the pixels off the desk. */
export function keepPixels(pixels: ChosenPixels): KeptPixels {
  const { count, desk } = pixels;
  const floats = new Float32Array(3 * count);
  for (let part = 0; part < 3; part += 1)
    for (let k = 0; k < count; k += 1) floats[part * count + k] = desk.lines[PIXELS_LINE + part][k];
  return { floats, ...pixels };
}

/** Lay kept pixels on the desk again. */
export function layPixels(pixels: KeptPixels): ChosenPixels {
  const { count, desk, floats } = pixels;
  for (let part = 0; part < 3; part += 1)
    for (let k = 0; k < count; k += 1) desk.lines[PIXELS_LINE + part][k] = floats[part * count + k];
  return pixels;
}

/** Of kept pixels those within `radiusPx` of 0-based (x, y). */
export function nearPixels(pixels: KeptPixels, x: number, y: number, radiusPx: number): KeptPixels {
  const { desk, x0, y0, count, floats } = pixels;
  const near: number[] = [];
  for (let k = 0; k < count; k += 1)
    if (Math.hypot(floats[k] + x0 - x, floats[count + k] + y0 - y) <= radiusPx) near.push(k);
  const taken = new Float32Array(3 * near.length);
  near.forEach((k, n) => {
    for (let part = 0; part < 3; part += 1) taken[part * near.length + n] = floats[part * count + k];
  });
  return { desk, x0, y0, x, y, radiusPx, count: near.length, floats: taken };
}
