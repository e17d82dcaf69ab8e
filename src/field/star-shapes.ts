import type { StarTable } from '../stars/types.js';
import type { StarShape } from './types.js';

/** Parts of the field along the longer side that each give their best stars, and how many. */
const LONG_SIDE = 8;
const STARS_PER_PART = 6;

/**
 * The stars of a frame that a sweep is fitted to: those without a flag, the best measured of each part of the field, so that a cluster in
 * one corner does not rule the surface (at most 6 in each of about 8 x 6 parts).
 *
 * Single stars rather than means of cells: over a wide cell a curved surface changes the size by a quarter, and no mean knows where
 * it stands.
 */
export function starShapes(table: StarTable, widthPx: number, heightPx: number): StarShape[] {
  const long = Math.max(widthPx, heightPx);
  const columns = Math.max(1, Math.round((LONG_SIDE * widthPx) / long));
  const rows = Math.max(1, Math.round((LONG_SIDE * heightPx) / long));
  const parts: { readonly shape: StarShape; readonly relativeError: number }[][] = Array.from(
    { length: columns * rows },
    () => [],
  );
  for (let i = 0; i < table.count; i += 1) {
    if (table.flags[i] !== 0) continue;
    const shape = {
      x: table.x[i]!,
      y: table.y[i]!,
      mxx: table.mxx[i]!,
      mxy: table.mxy[i]!,
      myy: table.myy[i]!,
      mError: table.mError[i]!,
      fwhm: table.fwhm[i]!,
    };
    const size = (shape.mxx + shape.myy) / 2;
    if (!(size > 0) || !Number.isFinite(shape.mxy) || !(shape.mError > 0)) continue;
    const column = Math.min(columns - 1, Math.max(0, Math.floor(((shape.x - 0.5) / widthPx) * columns)));
    const row = Math.min(rows - 1, Math.max(0, Math.floor(((shape.y - 0.5) / heightPx) * rows)));
    parts[row * columns + column]!.push({ shape, relativeError: shape.mError / size });
  }
  return parts.flatMap((part) =>
    part
      .sort((a, b) => a.relativeError - b.relativeError)
      .slice(0, STARS_PER_PART)
      .map(({ shape }) => shape),
  );
}
