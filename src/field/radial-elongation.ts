import type { StarTable } from '../stars/types.js';
import { fieldPosition } from './field-position.js';
import { goodStars } from './good-stars.js';
import { robustLinearFit, scatteredError } from './robust-linear-fit.js';

/** The outer field starts at this distance from the centre (corner = 1); it holds about two thirds of a sensor's area. */
const OUTER = 0.6;
const FEWEST_STARS = 8;

/** Mean radial elongation of the outer field with its standard error. */
export interface RadialElongation {
  readonly radial: number | null;
  readonly radialError: number | null;
}

/**
 * Mean radial (+) or tangential (-) elongation (M_rr - M_tt)/(M_rr + M_tt) of the outer field, r > 0.6.
 *
 * A trail common to all stars is fitted beside it, so that it does not count as radial on an oblong sensor.
 * Nulls with fewer than eight good stars out there, or all of them on one diagonal.
 */
export function radialElongation(table: StarTable, widthPx: number, heightPx: number): RadialElongation {
  const basis: number[][] = [];
  const values: number[] = [];
  const errors: number[] = [];
  for (const i of goodStars(table)) {
    const at = fieldPosition(table.x[i]!, table.y[i]!, widthPx, heightPx);
    if (at.r2 < OUTER * OUTER) continue;
    const cos2 = (at.u * at.u - at.v * at.v) / at.r2;
    const sin2 = (2 * at.u * at.v) / at.r2;
    const error = Math.hypot(table.eError[i]! > 0 ? table.eError[i]! : 0, 0.02);
    basis.push([1, 0, cos2], [0, 1, sin2]);
    values.push(table.e1[i]!, table.e2[i]!);
    errors.push(error, error);
  }
  const fit = values.length < 2 * FEWEST_STARS ? null : robustLinearFit(basis, values, errors);
  return fit === null
    ? { radial: null, radialError: null }
    : { radial: fit.coefficients[2]!, radialError: scatteredError(fit, 2) };
}
