import { comaShare, comaSkewness, isotropicResponse, shearResponse, widthRatio } from './blur-response.js';
import type { FitCell, FitFrame } from './joint-fit-data.js';

/**
 * Shared parameters, lengths as diameters of the blur disc in pixels (z / (N pitch)) at r = 1:
 * tilt fixed to the sensor (tx, ty), tilt that turns over with the side of the pier (gx, gy), medial curvature, astigmatism
 * ((tangential - sagittal)/2), field rotation (variance per r^2, pixel^2, and that times its centre u, v), third-order
 * coma (coefficient C = G (u, v) - (X, Y), pixels; its centre is (X, Y)/G).
 */
export const SHARED = [
  'tx',
  'ty',
  'gx',
  'gy',
  'km',
  'ka',
  'rot',
  'rotU',
  'rotV',
  'comaG',
  'comaX',
  'comaY',
] as const;
export type SharedName = (typeof SHARED)[number];
export type SharedParameters = Readonly<Record<SharedName, number>>;

/** A frame's own parameters: undisturbed moment V (seeing and pixel, pixel^2), focus z0 (px of blur disc), tracking (half differences, pixel^2). */
export interface FrameParameters {
  readonly seeing: number;
  readonly focus: number;
  readonly plus: number;
  readonly cross: number;
}

/** Number of a frame's own parameters, in the order of the interface above. */
export const OWN = 4;
/** Keeps the length of the tracking tensor smooth at zero, pixel^2. */
const SOFT = 1e-3;

/** Physical blur added at a cell: medial focus error, mean variance, and half differences (plus, cross), into `into`. */
function addedBlur(
  shared: SharedParameters,
  own: FrameParameters,
  frame: FitFrame,
  cell: FitCell,
  into: Float64Array,
): void {
  const { u, v, r2 } = cell;
  const side = frame.side;
  const trail = frame.exposure * frame.exposure;
  const medial =
    own.focus + (shared.tx + side * shared.gx) * u + (shared.ty + side * shared.gy) * v + shared.km * r2;
  const cos = u * u - v * v;
  const sin = 2 * u * v;
  const length = trackingLength(own);
  const comaX = shared.comaG * u - shared.comaX;
  const comaY = shared.comaG * v - shared.comaY;
  const coma2 = comaX * comaX + comaY * comaY;
  // Most rays of a coma image lie near its tip: the weighted moments feel less than the whole variance (see comaShare).
  const held = comaShare(coma2 / 3 / own.seeing);
  into[0] = medial;
  into[1] =
    (medial * medial + shared.ka * shared.ka * r2 * r2) / 16 +
    (length - SOFT) +
    trail * (shared.rot * r2 * 0.5 - shared.rotU * u - shared.rotV * v) +
    (held * coma2) / 3;
  into[2] =
    (medial * shared.ka * cos) / 8 +
    own.plus +
    trail * (-shared.rot * cos * 0.5 - shared.rotV * v + shared.rotU * u) +
    (held * (comaX * comaX - comaY * comaY)) / 6;
  into[3] =
    (medial * shared.ka * sin) / 8 +
    own.cross +
    trail * (-shared.rot * u * v + shared.rotU * v + shared.rotV * u) +
    (held * comaX * comaY) / 3;
}

function trackingLength(own: FrameParameters): number {
  return Math.sqrt(own.plus * own.plus + own.cross * own.cross + SOFT * SOFT);
}

const blurScratch = new Float64Array(4);

/** The three tensor parts of a cell (iso, plus, cross) without derivatives, into `into`: for searches over many starts. */
export function predictCellValues(
  shared: SharedParameters,
  own: FrameParameters,
  frame: FitFrame,
  cell: FitCell,
  into: Float64Array,
): void {
  addedBlur(shared, own, frame, cell, blurScratch);
  const q = Math.max(0, blurScratch[1] / own.seeing);
  const B = shearResponse(q).value;
  into[0] = own.seeing * isotropicResponse(q).value;
  into[1] = blurScratch[2] * B;
  into[2] = blurScratch[3] * B;
}

/**
 * Predict the three tensor parts of a cell with derivatives. `columns`: the shared parameters wanted, as indices into SHARED;
 * `values` [iso, plus, cross]; `rows`: three rows of derivatives, each `columns.length + OWN` long (shared, then the frame's own).
 *
 * Optics: z_t,s = z0 + t.x + (k_m +- k_a) r^2; radial variance z_t^2/16, tangential z_s^2/16 (geometric blur; SCIENCE section 5;
 * Jarvis, Schechter & Jain 2008). Tracking is a line: its variance across is zero, so its mean is the length of its half
 * differences. Third-order coma of coefficient C lands at C rho^2 (2 + cos 2 phi, sin 2 phi): variance C^2/2 along C and a third of
 * that across, no cross term with defocus. Field rotation about (u0, v0) draws a star along the perpendicular of its distance,
 * variance proportional to distance^2.
 */
export function predictCell(
  shared: SharedParameters,
  own: FrameParameters,
  frame: FitFrame,
  cell: FitCell,
  columns: readonly number[],
  values: Float64Array,
  rows: Float64Array,
): void {
  const { u, v, r2 } = cell;
  const trail = frame.exposure * frame.exposure;
  const cos = u * u - v * v;
  const sin = 2 * u * v;
  addedBlur(shared, own, frame, cell, blurScratch);
  const medial = blurScratch[0];
  const plus = blurScratch[2];
  const cross = blurScratch[3];
  const q = Math.max(0, blurScratch[1] / own.seeing);
  const R = isotropicResponse(q);
  const B = shearResponse(q);
  values[0] = own.seeing * R.value;
  values[1] = plus * B.value;
  values[2] = cross * B.value;
  const width = columns.length + OWN;
  const wx = shared.comaG * u - shared.comaX;
  const wy = shared.comaG * v - shared.comaY;
  // The share itself changes slowly: its own derivative is left out, which slows the last steps and moves no minimum.
  const share = comaShare((wx * wx + wy * wy) / 3 / own.seeing);
  // Chain rule from the physical blur (added, plus, cross) through the response curves.
  const byBlur = (column: number, dAdded: number, dPlus: number, dCross: number): void => {
    const dq = (B.slope * dAdded) / own.seeing;
    rows[column] = R.slope * dAdded;
    rows[width + column] = dPlus * B.value + plus * dq;
    rows[2 * width + column] = dCross * B.value + cross * dq;
  };
  const byMedial = (column: number, d: number): void =>
    byBlur(column, (medial * d) / 8, (d * shared.ka * cos) / 8, (d * shared.ka * sin) / 8);
  const byComa = (column: number, dx: number, dy: number): void =>
    byBlur(
      column,
      (share * 2 * (wx * dx + wy * dy)) / 3,
      (share * (wx * dx - wy * dy)) / 3,
      (share * (wx * dy + wy * dx)) / 3,
    );
  for (let k = 0; k < columns.length; k++) {
    switch (SHARED[columns[k]]) {
      case 'tx':
        byMedial(k, u);
        break;
      case 'ty':
        byMedial(k, v);
        break;
      case 'gx':
        byMedial(k, frame.side * u);
        break;
      case 'gy':
        byMedial(k, frame.side * v);
        break;
      case 'km':
        byMedial(k, r2);
        break;
      case 'ka':
        byBlur(k, (shared.ka * r2 * r2) / 8, (medial * cos) / 8, (medial * sin) / 8);
        break;
      case 'rot':
        byBlur(k, trail * r2 * 0.5, -trail * cos * 0.5, -trail * u * v);
        break;
      case 'rotU':
        byBlur(k, -trail * u, trail * u, trail * v);
        break;
      case 'rotV':
        byBlur(k, -trail * v, -trail * v, trail * u);
        break;
      case 'comaG':
        byComa(k, u, v);
        break;
      case 'comaX':
        byComa(k, -1, 0);
        break;
      case 'comaY':
        byComa(k, 0, -1);
        break;
    }
  }
  const first = columns.length;
  const length = trackingLength(own);
  rows[first] = R.value - q * R.slope;
  rows[width + first] = (-plus * B.slope * q) / own.seeing;
  rows[2 * width + first] = (-cross * B.slope * q) / own.seeing;
  byMedial(first + 1, 1);
  byBlur(first + 2, own.plus / length, 1, 0);
  byBlur(first + 3, own.cross / length, 0, 1);
}

/** One-sidedness of a star image: normalised third moment along x and y, with derivatives by the three coma parameters. */
export interface SkewPrediction {
  readonly value: Float64Array;
  /** [d/dG, d/dX, d/dY] of the x part, then of the y part. */
  readonly byComa: Float64Array;
}

/** Predict a cell's third moments from the coma alone, into `into`; the size of the star is taken as observed. */
export function predictSkew(shared: SharedParameters, cell: FitCell, into: SkewPrediction): void {
  const size = Math.sqrt(cell.iso);
  const wx = (shared.comaG * cell.u - shared.comaX) / size;
  const wy = (shared.comaG * cell.v - shared.comaY) / size;
  const { perUnit, slope } = comaSkewness(Math.hypot(wx, wy));
  into.value[0] = perUnit * wx;
  into.value[1] = perUnit * wy;
  const put = (k: number, dx: number, dy: number): void => {
    // slope = (d perUnit / d length) / length, so that nothing is divided by zero in the middle of a centred coma.
    const along = slope * (wx * dx + wy * dy);
    into.byComa[k] = (perUnit * dx + wx * along) / size;
    into.byComa[3 + k] = (perUnit * dy + wy * along) / size;
  };
  put(0, cell.u, cell.v);
  put(1, -1, 0);
  put(2, 0, -1);
}

/** Mean over the sensor of r^2 and r^4, and mean squares of u and v, of an oblong of the given half sides (diagonal = 1). */
export interface FieldMeans {
  readonly r2: number;
  readonly r4: number;
  readonly u2: number;
  readonly v2: number;
}

/** Means over a sensor of half sides a, b with a^2 + b^2 = 1. */
export function fieldMeans(a: number, b: number): FieldMeans {
  const u2 = (a * a) / 3;
  const v2 = (b * b) / 3;
  return { r2: u2 + v2, r4: a ** 4 / 5 + b ** 4 / 5 + 2 * u2 * v2, u2, v2 };
}

/**
 * Predict the ratio of half-flux diameter to FWHM of a frame relative to pure seeing, from its mean added blur; own derivatives only.
 */
export function predictWidthRatio(
  shared: SharedParameters,
  own: FrameParameters,
  frame: FitFrame,
  means: FieldMeans,
  witness = 1,
): { value: number; bySeeing: number; byFocus: number } {
  const tx = shared.tx + frame.side * shared.gx;
  const ty = shared.ty + frame.side * shared.gy;
  const centre = own.focus + shared.km * means.r2;
  const spread =
    tx * tx * means.u2 +
    ty * ty * means.v2 +
    shared.km ** 2 * (means.r4 - means.r2 ** 2) +
    shared.ka ** 2 * means.r4;
  const q = (centre * centre + spread) / 16 / own.seeing;
  const ratio = widthRatio(q, witness);
  return {
    value: ratio.value,
    bySeeing: (-ratio.slope * q) / own.seeing,
    byFocus: (ratio.slope * centre) / 8 / own.seeing,
  };
}
