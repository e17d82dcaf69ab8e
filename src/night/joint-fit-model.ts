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
/** Places of the shared parameters in SHARED, and of a frame's own after them. */
const [TX, TY, GX, GY, KM, KA, ROT, ROT_U, ROT_V, COMA_G, COMA_X, COMA_Y] = SHARED.keys();
const FIRST_OWN = SHARED.length;
const [SEEING, FOCUS, PLUS, CROSS] = [0, 1, 2, 3].map((k) => FIRST_OWN + k);
/** Keeps the length of the tracking tensor smooth at zero, pixel^2. */
const SOFT = 1e-3;

/** What the cells of one frame are predicted from, as plain numbers: the shared optics as this frame sees them, and its own parameters. See `setFrameOptics`. */
export type FrameOptics = Float64Array;
const [TILT_X, TILT_Y, BOWL, TWIST, TURN, TURN_U, TURN_V, FLARE, FLARE_X, FLARE_Y] = Array(10).keys();
const [AIR, DEFOCUS, TRAIL_PLUS, TRAIL_CROSS, TRAIL_LENGTH, TRAIL, SIDE] = [10, 11, 12, 13, 14, 15, 16];
const OPTICS = 17;

/** Shared parameters as numbers in the order of SHARED. The fit runs on plain numbers, whoever made the records. */
export function sharedNumbers(shared: SharedParameters): Float64Array {
  return Float64Array.from(SHARED, (name) => shared[name]);
}

/** The record of such numbers. */
export function namedShared(numbers: Float64Array): SharedParameters {
  return Object.fromEntries(SHARED.map((name, k) => [name, numbers[k]])) as Record<SharedName, number>;
}

/** The frames' own parameters as numbers, `OWN` for each frame. */
export function ownNumbers(own: readonly FrameParameters[]): Float64Array {
  return Float64Array.from(own.flatMap(({ seeing, focus, plus, cross }) => [seeing, focus, plus, cross]));
}

/** Own parameters of frame number `f` out of such numbers. */
export function namedOwn(numbers: Float64Array, f: number): FrameParameters {
  const [seeing, focus, plus, cross] = numbers.subarray(OWN * f, OWN * f + OWN);
  return { seeing, focus, plus, cross };
}

/** Room for the optics of a frame. */
export const makeFrameOptics = (): FrameOptics => new Float64Array(OPTICS);

/** The optics of one frame, into `into`; its own parameters stand at `own[at]` and behind it. */
export function setFrameOptics(
  shared: Float64Array,
  own: Float64Array,
  at: number,
  frame: Pick<FitFrame, 'side' | 'exposure'>,
  into: FrameOptics,
): void {
  const [seeing, focus, plus, cross] = [own[at], own[at + 1], own[at + 2], own[at + 3]];
  const trail = frame.exposure * frame.exposure;
  into[TILT_X] = shared[TX] + frame.side * shared[GX];
  into[TILT_Y] = shared[TY] + frame.side * shared[GY];
  into[BOWL] = shared[KM];
  into[TWIST] = shared[KA];
  into[TURN] = trail * shared[ROT];
  into[TURN_U] = trail * shared[ROT_U];
  into[TURN_V] = trail * shared[ROT_V];
  into[FLARE] = shared[COMA_G];
  into[FLARE_X] = shared[COMA_X];
  into[FLARE_Y] = shared[COMA_Y];
  into[AIR] = seeing;
  into[DEFOCUS] = focus;
  into[TRAIL_PLUS] = plus;
  into[TRAIL_CROSS] = cross;
  into[TRAIL_LENGTH] = Math.sqrt(plus * plus + cross * cross + SOFT * SOFT);
  into[TRAIL] = trail;
  into[SIDE] = frame.side;
}

/** The optics of one frame, from records. */
export function frameOptics(
  shared: SharedParameters,
  own: FrameParameters,
  frame: Pick<FitFrame, 'side' | 'exposure'>,
): FrameOptics {
  const optics = makeFrameOptics();
  setFrameOptics(sharedNumbers(shared), ownNumbers([own]), 0, frame, optics);
  return optics;
}

/** Physical blur added at a cell: medial focus error, mean variance, and half differences (plus, cross), into `into`. */
function addedBlur(optics: FrameOptics, { u, v, r2 }: FitCell, into: Float64Array): void {
  const medial = optics[DEFOCUS] + optics[TILT_X] * u + optics[TILT_Y] * v + optics[BOWL] * r2;
  const ka = optics[TWIST];
  const rot = optics[TURN];
  const cos = u * u - v * v;
  const sin = 2 * u * v;
  const comaX = optics[FLARE] * u - optics[FLARE_X];
  const comaY = optics[FLARE] * v - optics[FLARE_Y];
  const coma2 = comaX * comaX + comaY * comaY;
  // Most rays of a coma image lie near its tip: the weighted moments feel less than the whole variance (see comaShare).
  const held = comaShare(coma2 / 3 / optics[AIR]);
  into[0] = medial;
  into[1] =
    (medial * medial + ka * ka * r2 * r2) / 16 +
    (optics[TRAIL_LENGTH] - SOFT) +
    (rot * r2 * 0.5 - optics[TURN_U] * u - optics[TURN_V] * v) +
    (held * coma2) / 3;
  into[2] =
    (medial * ka * cos) / 8 +
    optics[TRAIL_PLUS] +
    (-rot * cos * 0.5 - optics[TURN_V] * v + optics[TURN_U] * u) +
    (held * (comaX * comaX - comaY * comaY)) / 6;
  into[3] =
    (medial * ka * sin) / 8 +
    optics[TRAIL_CROSS] +
    (-rot * u * v + optics[TURN_U] * v + optics[TURN_V] * u) +
    (held * comaX * comaY) / 3;
}

const blurScratch = new Float64Array(4);

/** The three tensor parts of a cell (iso, plus, cross) without derivatives, into `into`: for searches over many starts. */
export function predictCellValues(optics: FrameOptics, cell: FitCell, into: Float64Array): void {
  addedBlur(optics, cell, blurScratch);
  const q = Math.max(0, blurScratch[1] / optics[AIR]);
  const B = shearResponse(q).value;
  into[0] = optics[AIR] * isotropicResponse(q).value;
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
  optics: FrameOptics,
  cell: FitCell,
  columns: readonly number[],
  values: Float64Array,
  rows: Float64Array,
): void {
  const { u, v, r2 } = cell;
  const seeing = optics[AIR];
  const ka = optics[TWIST];
  const side = optics[SIDE];
  const trail = optics[TRAIL];
  const cos = u * u - v * v;
  const sin = 2 * u * v;
  addedBlur(optics, cell, blurScratch);
  const medial = blurScratch[0];
  const plus = blurScratch[2];
  const cross = blurScratch[3];
  const q = Math.max(0, blurScratch[1] / seeing);
  const R = isotropicResponse(q);
  const B = shearResponse(q);
  values[0] = seeing * R.value;
  values[1] = plus * B.value;
  values[2] = cross * B.value;
  const width = columns.length + OWN;
  const wx = optics[FLARE] * u - optics[FLARE_X];
  const wy = optics[FLARE] * v - optics[FLARE_Y];
  // The share itself changes slowly: its own derivative is left out, which slows the last steps and moves no minimum.
  const share = comaShare((wx * wx + wy * wy) / 3 / seeing);
  const last = columns.length + OWN;
  const length = optics[TRAIL_LENGTH];
  rows[columns.length] = R.value - q * R.slope;
  rows[width + columns.length] = (-plus * B.slope * q) / seeing;
  rows[2 * width + columns.length] = (-cross * B.slope * q) / seeing;
  for (let k = 0; k < last; k++) {
    const which = k < columns.length ? columns[k] : FIRST_OWN + k - columns.length;
    // Derivatives of the physical blur (added, plus, cross): by way of the medial focus error, of the coma's two parts, or its own.
    let byMedial = NaN;
    let comaX = NaN;
    let comaY = NaN;
    let dAdded = 0;
    let dPlus = 0;
    let dCross = 0;
    switch (which) {
      case TX:
        byMedial = u;
        break;
      case TY:
        byMedial = v;
        break;
      case GX:
        byMedial = side * u;
        break;
      case GY:
        byMedial = side * v;
        break;
      case KM:
        byMedial = r2;
        break;
      case KA:
        dAdded = (ka * r2 * r2) / 8;
        dPlus = (medial * cos) / 8;
        dCross = (medial * sin) / 8;
        break;
      case ROT:
        dAdded = trail * r2 * 0.5;
        dPlus = -trail * cos * 0.5;
        dCross = -trail * u * v;
        break;
      case ROT_U:
        dAdded = -trail * u;
        dPlus = trail * u;
        dCross = trail * v;
        break;
      case ROT_V:
        dAdded = -trail * v;
        dPlus = -trail * v;
        dCross = trail * u;
        break;
      case COMA_G:
        comaX = u;
        comaY = v;
        break;
      case COMA_X:
        comaX = -1;
        comaY = 0;
        break;
      case COMA_Y:
        comaX = 0;
        comaY = -1;
        break;
      case SEEING:
        continue;
      case FOCUS:
        byMedial = 1;
        break;
      case PLUS:
        dAdded = optics[TRAIL_PLUS] / length;
        dPlus = 1;
        break;
      case CROSS:
        dAdded = optics[TRAIL_CROSS] / length;
        dCross = 1;
        break;
    }
    if (byMedial === byMedial) {
      dAdded = (medial * byMedial) / 8;
      dPlus = (byMedial * ka * cos) / 8;
      dCross = (byMedial * ka * sin) / 8;
    } else if (comaX === comaX) {
      dAdded = (share * 2 * (wx * comaX + wy * comaY)) / 3;
      dPlus = (share * (wx * comaX - wy * comaY)) / 3;
      dCross = (share * (wx * comaY + wy * comaX)) / 3;
    }
    // Chain rule through the response curves.
    const dq = (B.slope * dAdded) / seeing;
    rows[k] = R.slope * dAdded;
    rows[width + k] = dPlus * B.value + plus * dq;
    rows[2 * width + k] = dCross * B.value + cross * dq;
  }
}

/** One-sidedness of a star image: normalised third moment along x and y, with derivatives by the three coma parameters. */
export interface SkewPrediction {
  readonly value: Float64Array;
  /** [d/dG, d/dX, d/dY] of the x part, then of the y part. */
  readonly byComa: Float64Array;
}

/** Predict a cell's third moments from the coma alone, into `into`; the size of the star is taken as observed. */
export function predictSkew(
  comaG: number,
  comaX: number,
  comaY: number,
  cell: FitCell,
  into: SkewPrediction,
): void {
  const size = Math.sqrt(cell.iso);
  const wx = (comaG * cell.u - comaX) / size;
  const wy = (comaG * cell.v - comaY) / size;
  const { perUnit, slope } = comaSkewness(Math.sqrt(wx * wx + wy * wy));
  into.value[0] = perUnit * wx;
  into.value[1] = perUnit * wy;
  for (let k = 0; k < 3; k++) {
    const dx = k === 0 ? cell.u : k === 1 ? -1 : 0;
    const dy = k === 0 ? cell.v : k === 2 ? -1 : 0;
    // slope = (d perUnit / d length) / length, so that nothing is divided by zero in the middle of a centred coma.
    const along = slope * (wx * dx + wy * dy);
    into.byComa[k] = (perUnit * dx + wx * along) / size;
    into.byComa[3 + k] = (perUnit * dy + wy * along) / size;
  }
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
  optics: FrameOptics,
  means: FieldMeans,
  witness = 1,
): { value: number; bySeeing: number; byFocus: number } {
  const tx = optics[TILT_X];
  const ty = optics[TILT_Y];
  const km = optics[BOWL];
  const ka = optics[TWIST];
  const seeing = optics[AIR];
  const centre = optics[DEFOCUS] + km * means.r2;
  const spread =
    tx * tx * means.u2 + ty * ty * means.v2 + km * km * (means.r4 - means.r2 * means.r2) + ka * ka * means.r4;
  const q = (centre * centre + spread) / 16 / seeing;
  const ratio = widthRatio(q, witness);
  return {
    value: ratio.value,
    bySeeing: (-ratio.slope * q) / seeing,
    byFocus: (ratio.slope * centre) / 8 / seeing,
  };
}
