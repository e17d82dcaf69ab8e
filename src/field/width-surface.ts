import { medianInPlace } from '../stats/index.js';
import type { StarTable } from '../stars/types.js';
import type { TiltFigure } from './types.js';
import { fieldPosition } from './field-position.js';
import { goodStars } from './good-stars.js';
import { robustLinearFit, scatteredError } from './robust-linear-fit.js';

/** Plane and bowl through the FWHM of a frame's stars. */
export interface WidthSurface {
  readonly tilt: TiltFigure | null;
  /** FWHM at the corners minus centre of the bowl, per cent of the median FWHM. */
  readonly curvaturePercent: number | null;
  readonly curvatureErrorPercent: number | null;
}

const FEWEST_STARS = 12;

/**
 * Robust surface FWHM = c0 + cx u + cy v + cr r^2 over the good stars; u, v, r normalised to 1 at the corners.
 *
 * Null figures with fewer than 12 good stars, stars in fewer than three quadrants, or stars too bunched to tell slope from bowl.
 */
export function widthSurface(table: StarTable, widthPx: number, heightPx: number): WidthSurface {
  const none = { tilt: null, curvaturePercent: null, curvatureErrorPercent: null };
  const good = goodStars(table);
  if (good.length < FEWEST_STARS) return none;
  const places = good.map((i) => fieldPosition(table.x[i]!, table.y[i]!, widthPx, heightPx));
  const quadrants = new Set(places.map((at) => (at.u > 0 ? 1 : 0) + (at.v > 0 ? 2 : 0)));
  if (quadrants.size < 3) return none;
  const widths = good.map((i) => table.fwhm[i]!);
  const middle = medianInPlace(widths);
  const fit = robustLinearFit(
    places.map((at) => [1, at.u, at.v, at.r2]),
    widths,
    good.map((i) => Math.hypot(table.fwhmError[i]! > 0 ? table.fwhmError[i]! : 0, 0.02 * middle)),
  );
  if (!fit) return none;
  const [, cu = 0, cv = 0, cr = 0] = fit.coefficients;
  const half = Math.hypot(widthPx, heightPx) / 2;
  const halfU = widthPx / 2 / half;
  const halfV = heightPx / 2 / half;
  // Highest minus lowest corner of a plane: its two slopes add whatever their signs.
  const span = 2 * (Math.abs(cu) * halfU + Math.abs(cv) * halfV);
  const spanError =
    2 * Math.hypot(Math.sqrt(fit.covariance[1]![1]!) * halfU, Math.sqrt(fit.covariance[2]![2]!) * halfV);
  const direction = (Math.atan2(cv, cu) * 180) / Math.PI;
  return {
    tilt: {
      directionDeg: (direction + 360) % 360,
      fwhmSpanPercent: (100 * span) / middle,
      fwhmSpanErrorPercent: (100 * spanError) / middle,
    },
    curvaturePercent: (100 * cr) / middle,
    curvatureErrorPercent: (100 * scatteredError(fit, 3)) / middle,
  };
}
