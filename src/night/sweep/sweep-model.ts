import type { StarResponse } from './star-response.js';
import type { SweepCell } from './types.js';

/**
 * Parameters that all frames of a sweep share, in this order: best focus of the centre, tilt along x and y (per half-diagonal),
 * tangential and sagittal curvature at r = 1 (all in the unit of `outward`), natural logarithm of the disc's growth (pixels of
 * diameter per unit of defocus), blur of the field's edge that no focus removes (pixel^2 at r = 1), logarithm of the mean
 * undisturbed moment.
 */
export const SHARED_COUNT = 8;
/** A frame's own parameters: logarithm of the undisturbed moment V (seeing and pixel), tracking tensor (plus, cross). */
export const OWN_COUNT = 3;

/** Tensor parts predicted for one cell. */
export interface SweepPrediction {
  iso: number;
  plus: number;
  cross: number;
}

/**
 * Predict a cell's tensor (adaptive moments, pixel^2) into `into`.
 *
 * Focal surfaces z_t,s = B + t.x + k_t,s r^2 - sensor (SCIENCE notes, section 5; Welford on primary astigmatism); discs of
 * diameter |z| times the growth along radius and tangent, seen through the air by `response`.
 *
 * @param shiftT extra height of the tangential surface for this part of the field, and `shiftS` of the sagittal one
 */
export function predictCell(
  response: StarResponse,
  shared: ArrayLike<number>,
  logMoment: number,
  trackPlus: number,
  trackCross: number,
  cell: SweepCell,
  outward: number,
  into: SweepPrediction,
  shiftT = 0,
  shiftS = 0,
): void {
  const plane = shared[0]! + shared[1]! * cell.u + shared[2]! * cell.v - outward;
  const growth = Math.exp(shared[5]!);
  const moment = Math.exp(logMoment);
  // Diameters in FWHM of the undisturbed star: V = 0.2 FWHM^2.
  const perWidth = growth / Math.sqrt(moment * 5);
  const along = (plane + shared[3]! * cell.r2 + shiftT) * perWidth;
  const across = (plane + shared[4]! * cell.r2 + shiftS) * perWidth;
  const radial = moment * response.moment(along, across);
  const tangential = moment * response.moment(across, along);
  const half = (radial - tangential) / 2;
  // cos and sin of twice the position angle; at the very centre there is no radius and no difference either.
  const cos = cell.r2 > 0 ? (cell.u * cell.u - cell.v * cell.v) / cell.r2 : 0;
  const sin = cell.r2 > 0 ? (2 * cell.u * cell.v) / cell.r2 : 0;
  into.iso = (radial + tangential) / 2 + shared[6]! * cell.r2 + Math.hypot(trackPlus, trackCross);
  into.plus = half * cos + trackPlus;
  into.cross = half * sin + trackCross;
}
