import { medianInPlace } from '../stats/index.js';
import type { StarTable } from '../stars/types.js';
import type { CornerFigure, CornerName } from './types.js';
import { axisDeg } from './field-cells.js';
import { fieldPosition } from './field-position.js';
import { goodStars } from './good-stars.js';

/** Side of a corner region as part of the sensor's side. */
const CORNER_PART = 0.3;
const FEWEST_STARS = 3;

const CORNERS: readonly { readonly name: CornerName; readonly right: boolean; readonly top: boolean }[] = [
  { name: 'top-left', right: false, top: true },
  { name: 'top-right', right: true, top: true },
  { name: 'bottom-left', right: false, top: false },
  { name: 'bottom-right', right: true, top: false },
];

/**
 * Median star of each corner region (30 % of width and height; top = large y): FWHM in pixels, elongation, axis angle and
 * radial (+) or tangential (-) elongation. Fewer than three good stars in a corner leave its figures null.
 */
export function cornerFigures(table: StarTable, widthPx: number, heightPx: number): CornerFigure[] {
  const good = goodStars(table);
  return CORNERS.map(({ name, right, top }) => {
    const stars = good.filter(
      (i) =>
        (right ? table.x[i]! > (1 - CORNER_PART) * widthPx : table.x[i]! < CORNER_PART * widthPx) &&
        (top ? table.y[i]! > (1 - CORNER_PART) * heightPx : table.y[i]! < CORNER_PART * heightPx),
    );
    if (stars.length < FEWEST_STARS) {
      return { name, fwhm: null, elongation: null, angleDeg: null, radial: null, stars: stars.length };
    }
    const e1 = medianInPlace(stars.map((i) => table.e1[i]!));
    const e2 = medianInPlace(stars.map((i) => table.e2[i]!));
    const e = Math.min(0.98, Math.hypot(e1, e2));
    const radial = medianInPlace(
      stars.map((i) => {
        const at = fieldPosition(table.x[i]!, table.y[i]!, widthPx, heightPx);
        const cos2 = (at.u * at.u - at.v * at.v) / at.r2;
        const sin2 = (2 * at.u * at.v) / at.r2;
        return table.e1[i]! * cos2 + table.e2[i]! * sin2;
      }),
    );
    return {
      name,
      fwhm: medianInPlace(stars.map((i) => table.fwhm[i]!)),
      elongation: Math.sqrt((1 + e) / (1 - e)),
      angleDeg: axisDeg(e1, e2),
      radial,
      stars: stars.length,
    };
  });
}
