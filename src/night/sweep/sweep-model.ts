import { momentWithSlopes, type StarResponse } from './star-response.js';
import type { SweepCell } from './types.js';

/**
 * Parameters that all frames of a sweep share, in this order: best focus of the centre, tilt along x and y (per half-diagonal),
 * tangential and sagittal curvature at r = 1 (all in the unit of `outward`), natural logarithm of the disc's growth (pixels of
 * diameter per unit of defocus), blur of the field's edge that no focus removes (pixel^2 at r = 1), logarithm of the mean
 * undisturbed moment (a frame's own is tied to it by a prior; no cell depends on it).
 */
export const SHARED_COUNT = 8;
/** A frame's own parameters: logarithm of the undisturbed moment V (seeing and pixel), tracking tensor (plus, cross). */
export const OWN_COUNT = 3;

/** Tensor parts of one star, pixel^2. */
export interface SweepPrediction {
  iso: number;
  plus: number;
  cross: number;
}

/** Prediction with its derivatives by the eight shared and three own parameters. */
export interface SweepDerivatives extends SweepPrediction {
  readonly dIso: Float64Array;
  readonly dPlus: Float64Array;
  readonly dCross: Float64Array;
}

export function newDerivatives(): SweepDerivatives {
  const size = SHARED_COUNT + OWN_COUNT;
  return {
    iso: 0,
    plus: 0,
    cross: 0,
    dIso: new Float64Array(size),
    dPlus: new Float64Array(size),
    dCross: new Float64Array(size),
  };
}

/** What of a prediction is a frame's own. */
export interface OwnParameters {
  readonly logMoment: number;
  readonly plus: number;
  readonly cross: number;
}

/**
 * Predict a star's tensor (adaptive moments, pixel^2) into `into`.
 *
 * Focal surfaces z_t,s = B + t.x + k_t,s r^2 - sensor (SCIENCE notes, section 5; Welford on primary astigmatism); discs of
 * diameter |z| times the growth along radius and tangent, seen through the air by `response`.
 *
 * @param shiftT extra height of the tangential surface for this part of the field, and `shiftS` of the sagittal one
 */
export function predictCell(
  response: StarResponse,
  shared: ArrayLike<number>,
  own: OwnParameters,
  cell: SweepCell,
  outward: number,
  into: SweepPrediction,
  shiftT = 0,
  shiftS = 0,
): void {
  const { along, across, moment } = discs(shared, own, cell, outward, shiftT, shiftS);
  const radial = moment * response.moment(along, across);
  const tangential = moment * response.moment(across, along);
  compose(radial, tangential, shared[6]!, own, cell, into);
}

/** As `predictCell`, with the derivatives. */
export function predictWithDerivatives(
  response: StarResponse,
  shared: ArrayLike<number>,
  own: OwnParameters,
  cell: SweepCell,
  outward: number,
  into: SweepDerivatives,
): void {
  const { along, across, moment, perUnit } = discs(shared, own, cell, outward, 0, 0);
  const [r, rAlong, rAcross] = momentWithSlopes(response, along, across);
  const [t, tAcross, tAlong] = momentWithSlopes(response, across, along);
  compose(moment * r, moment * t, shared[6]!, own, cell, into);
  const [cos, sin] = twiceAngle(cell);
  const put = (k: number, dRadial: number, dTangential: number): void => {
    const half = (dRadial - dTangential) / 2;
    into.dIso[k] = (dRadial + dTangential) / 2;
    into.dPlus[k] = half * cos;
    into.dCross[k] = half * sin;
  };
  // By the heights of the two surfaces.
  const byT: [number, number] = [moment * rAlong * perUnit, moment * tAlong * perUnit];
  const byS: [number, number] = [moment * rAcross * perUnit, moment * tAcross * perUnit];
  const both: [number, number] = [byT[0] + byS[0], byT[1] + byS[1]];
  put(0, both[0], both[1]);
  put(1, both[0] * cell.u, both[1] * cell.u);
  put(2, both[0] * cell.v, both[1] * cell.v);
  put(3, byT[0] * cell.r2, byT[1] * cell.r2);
  put(4, byS[0] * cell.r2, byS[1] * cell.r2);
  const radialGrowth = moment * (rAlong * along + rAcross * across);
  const tangentialGrowth = moment * (tAlong * along + tAcross * across);
  put(5, radialGrowth, tangentialGrowth);
  into.dIso[6] = cell.r2;
  // A wider star makes the same disc smaller in its own units: half of the growth's derivative, taken away.
  put(SHARED_COUNT, moment * r - radialGrowth / 2, moment * t - tangentialGrowth / 2);
  const trail = Math.hypot(own.plus, own.cross) || 1;
  into.dIso[SHARED_COUNT + 1] = own.plus / trail;
  into.dIso[SHARED_COUNT + 2] = own.cross / trail;
  into.dPlus[SHARED_COUNT + 1] = 1;
  into.dCross[SHARED_COUNT + 2] = 1;
}

/** Diameters of the light's ellipse along radius and tangent for a star, in widths sqrt(5 V) of the undisturbed star. */
export function discWidths(
  shared: ArrayLike<number>,
  own: OwnParameters,
  cell: SweepCell,
  outward: number,
): { readonly along: number; readonly across: number } {
  return discs(shared, own, cell, outward, 0, 0);
}

/** The same with the undisturbed moment and the widths per unit of defocus. */
function discs(
  shared: ArrayLike<number>,
  own: OwnParameters,
  cell: SweepCell,
  outward: number,
  shiftT: number,
  shiftS: number,
): { along: number; across: number; moment: number; perUnit: number } {
  const plane = shared[0]! + shared[1]! * cell.u + shared[2]! * cell.v - outward;
  const moment = Math.exp(own.logMoment);
  const perUnit = Math.exp(shared[5]!) / Math.sqrt(moment * 5);
  return {
    along: (plane + shared[3]! * cell.r2 + shiftT) * perUnit,
    across: (plane + shared[4]! * cell.r2 + shiftS) * perUnit,
    moment,
    perUnit,
  };
}

/** Cosine and sine of twice the position angle; at the very centre there is no radius and no difference either. */
function twiceAngle(cell: SweepCell): [number, number] {
  if (cell.r2 === 0) return [0, 0];
  return [(cell.u * cell.u - cell.v * cell.v) / cell.r2, (2 * cell.u * cell.v) / cell.r2];
}

function compose(
  radial: number,
  tangential: number,
  edge: number,
  own: OwnParameters,
  cell: SweepCell,
  into: SweepPrediction,
): void {
  const [cos, sin] = twiceAngle(cell);
  const half = (radial - tangential) / 2;
  into.iso = (radial + tangential) / 2 + edge * cell.r2 + Math.hypot(own.plus, own.cross);
  into.plus = half * cos + own.plus;
  into.cross = half * sin + own.cross;
}
