import { robustLinearFit } from '../field/index.js';
import type { JudgedFrame } from './types.js';

/** Coma-like flares over the field, all frames together: strength and where it vanishes. */
export interface ComaField {
  /** Normalised third moment at the sensor's centre (x, y): decentred optics put it there. */
  readonly atCentre: readonly [x: number, y: number];
  readonly atCentreError: number;
  /** Growth from the coma's centre to the distance of a half-diagonal. */
  readonly growth: number;
  readonly growthError: number;
  /** Where the flare vanishes, FITS pixels; null when the growth is not measured well enough to say. */
  readonly centre: readonly [x: number, y: number] | null;
  readonly centreErrorPx: number | null;
}

/** Frames trailed beyond this say nothing about third moments: an uneven trail has its own. */
const MOST_ELONGATED = 1.3;

/**
 * Fit skewness = a + b (x - centre) (vectors, radial) over the cells of all frames: third-order coma grows linearly with the distance from
 * its centre (Welford, Aberrations of Optical Systems, chapter 7). The common skewness of each frame that differs from the night's
 * (a jerk of the mount) is taken out as a free pair per frame is not: frames are clipped robustly instead.
 * Null with fewer than 12 cells that carry third moments.
 */
export function fitComaField(frames: readonly JudgedFrame[]): ComaField | null {
  const basis: number[][] = [];
  const values: number[] = [];
  const errors: number[] = [];
  let widthPx = 0;
  let heightPx = 0;
  for (const frame of frames) {
    if ((frame.elongation ?? 1) > MOST_ELONGATED) continue;
    widthPx = frame.image.widthPx;
    heightPx = frame.image.heightPx;
    const half = Math.hypot(widthPx, heightPx) / 2;
    for (const cell of frame.field.cells) {
      if (!Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY) || !(cell.skewError > 0)) continue;
      const u = (cell.x - (widthPx + 1) / 2) / half;
      const v = (cell.y - (heightPx + 1) / 2) / half;
      const error = Math.hypot(cell.skewError, 0.005);
      basis.push([1, 0, u], [0, 1, v]);
      values.push(cell.skewX, cell.skewY);
      errors.push(error, error);
    }
  }
  if (values.length < 24) return null;
  const fit = robustLinearFit(basis, values, errors);
  if (!fit) return null;
  const [ax, ay, growth] = fit.coefficients;
  const growthError = Math.sqrt(fit.covariance[2][2]);
  const atCentreError = Math.sqrt((fit.covariance[0][0] + fit.covariance[1][1]) / 2);
  const half = Math.hypot(widthPx, heightPx) / 2;
  const clear = Math.abs(growth) > 4 * growthError;
  return {
    atCentre: [ax, ay],
    atCentreError,
    growth,
    growthError,
    centre: clear
      ? [(widthPx + 1) / 2 - (ax / growth) * half, (heightPx + 1) / 2 - (ay / growth) * half]
      : null,
    centreErrorPx: clear
      ? half * Math.hypot(atCentreError / growth, (Math.hypot(ax, ay) * growthError) / growth ** 2)
      : null,
  };
}
