import { FWHM_PER_SIGMA } from './blur-budget.js';
import { MOMENT_PER_FWHM2, PIXEL_VARIANCE } from './blur-response.js';
import type { FitFrame } from './joint-fit-data.js';
import { micronPerDiscPx } from './joint-fit-units.js';
import { explainedVariance } from './joint-fit-explained.js';
import type { FieldMeans, FrameParameters, SharedName } from './joint-fit-model.js';
import type { ChosenModel } from './joint-fit-models.js';
import type { FocusSign } from './joint-fit-sign.js';
import type { TiltWithAltitude } from './tilt-with-altitude.js';
import type { FittedFrame, JudgedFrame, OpticalState } from './types.js';

export interface StateParts {
  readonly members: readonly JudgedFrame[];
  readonly data: readonly FitFrame[];
  readonly own: { readonly parameters: readonly FrameParameters[]; readonly focusError: readonly number[] };
  readonly model: ChosenModel;
  readonly sign: FocusSign;
  /** Agreement of third moments with the fitted coma, standard errors. */
  readonly coma: number | null;
  readonly altitude: TiltWithAltitude | null;
  readonly means: FieldMeans;
}

/** Relative signs count as known when removing them would cost the tilt or curvature this many errors and focus varied. */
const SIGNIFICANT = 3;

/** Put the fit of one camera set-up into the units of the record: micrometres when focal ratio and pitch are known. */
export function opticalState(parts: StateParts): OpticalState {
  const { members, data, own, model, sign, coma, altitude, means } = parts;
  const { shared } = model.solution;
  const { widthPx, heightPx } = members[0].image;
  const half = Math.hypot(widthPx, heightPx) / 2;
  const halfU = widthPx / 2 / half;
  const halfV = heightPx / 2 / half;
  const micron = micronPerDiscPx(members);
  const unit = micron ?? 1;
  const gravity = model.problem.free.includes('gx');
  const error = (name: SharedName): number => standardError(model, name);
  const spread = focusSpread(own.parameters, own.focusError);
  const pattern = Math.max(model.tilt, model.curvature) >= SIGNIFICANT;
  const relative = pattern && spread >= SIGNIFICANT;
  const tx = gravity ? shared.gx : shared.tx;
  const ty = gravity ? shared.gy : shared.ty;
  // Without a witness, name the side that is softer: where the frames' mean focus error and the slope add up.
  const meanFocus = own.parameters.reduce((sum, p) => sum + p.focus, 0);
  const turn = sign.source !== 'none' ? sign.sign : meanFocus < 0 ? -1 : 1;
  const errorT = gravity ? ([error('gx'), error('gy')] as const) : ([error('tx'), error('ty')] as const);
  const size = Math.hypot(tx, ty);
  const pitch = members.map((m) => m.scale?.pixelPitchMicron ?? null).find((p) => p !== null) ?? null;
  const tiltVariance = (tx * tx * means.u2 + ty * ty * means.v2) / 16;
  const bowl = (shared.km ** 2 * (means.r4 - means.r2 ** 2) + shared.ka ** 2 * means.r4) / 16;
  return {
    frames: data.length,
    explainedVariance: explainedVariance(data, shared, own.parameters),
    unit: micron === null ? 'px-blur' : 'micron',
    tilt: {
      directionDeg: ((Math.atan2(turn * ty, turn * tx) * 180) / Math.PI + 360) % 360,
      span: 2 * (Math.abs(tx) * halfU + Math.abs(ty) * halfV) * unit,
      spanError: honest(
        2 * (Math.abs(tx) * halfU + Math.abs(ty) * halfV) * unit,
        2 * Math.hypot(errorT[0] * halfU, errorT[1] * halfV) * unit,
        model.tilt,
      ),
      angleArcmin:
        micron === null || pitch === null
          ? null
          : (Math.atan((size * micron) / (half * pitch)) * 180 * 60) / Math.PI,
    },
    curvature: {
      corner: turn * shared.km * unit,
      error: honest(shared.km * unit, error('km') * unit, model.curvature),
    },
    astigmatism: {
      corner: turn * shared.ka * unit,
      error: honest(shared.ka * unit, error('ka') * unit, model.curvature),
    },
    coma: comaRecord(model, widthPx, heightPx),
    signsKnown: relative && sign.source !== 'none',
    focus: data.map((frame, k) => ({
      file: frame.file,
      offset: turn * (own.parameters[k].focus + shared.km * means.r2) * unit,
      error: own.focusError[k] * unit,
    })),
    detail: {
      micronPerDiscPx: micron,
      signSource: sign.source,
      tilt: {
        blurPx: FWHM_PER_SIGMA * Math.sqrt(tiltVariance),
        significance: model.tilt,
        directionErrorDeg:
          size > 0 ? (Math.hypot(errorT[0] * ty, errorT[1] * tx) / (size * size)) * (180 / Math.PI) : 180,
      },
      tiltFollows: model.follows,
      tiltWithAltitude: altitude,
      curvature: {
        blurPx: FWHM_PER_SIGMA * Math.sqrt(bowl),
        significance: model.curvature,
        medialPx: turn * shared.km,
        medialErrorPx: error('km'),
        astigmatismPx: turn * shared.ka,
        astigmatismErrorPx: error('ka'),
        correlation: correlation(model, 'km', 'ka'),
      },
      rotation: {
        // A turn by angle w draws a trail w r, of variance (w r)^2 / 12.
        cornerTrailPx: Math.sqrt(12 * Math.max(0, shared.rot)),
        significance: model.rotation,
        centre: shared.rot > 0 ? [shared.rotU / shared.rot, shared.rotV / shared.rot] : [0, 0],
      },
      coma: comaDetail(model, coma),
      frames: data.map((frame, k) =>
        fittedFrame(frame, own.parameters[k], own.focusError[k], turn, shared.km * means.r2),
      ),
      scatter: model.scatter,
    },
  };
}

/** The coma's centre lies nowhere near when its growth is not measured: farther than this many half-diagonals is no place to name. */
const FARTHEST_CENTRE = 8;

function comaRecord(model: ChosenModel, widthPx: number, heightPx: number): OpticalState['coma'] {
  const { comaG, comaX, comaY } = model.solution.shared;
  if (!model.problem.free.includes('comaG') || Math.hypot(comaX, comaY) > FARTHEST_CENTRE * Math.abs(comaG)) {
    return null;
  }
  const half = Math.hypot(widthPx, heightPx) / 2;
  return {
    centreX: (widthPx + 1) / 2 + (comaX / comaG) * half,
    centreY: (heightPx + 1) / 2 + (comaY / comaG) * half,
    // The flare of third-order coma is three times its coefficient long.
    strength: 3 * Math.abs(comaG),
    error: 3 * standardError(model, 'comaG'),
  };
}

function comaDetail(model: ChosenModel, flares: number | null): OpticalState['detail']['coma'] {
  if (!model.problem.free.includes('comaG')) return null;
  const { comaG, comaX, comaY } = model.solution.shared;
  return {
    significance: model.coma,
    cornerFlarePx: 3 * Math.abs(comaG),
    middleFlarePx: 3 * Math.hypot(comaX, comaY),
    centre:
      Math.hypot(comaX, comaY) > FARTHEST_CENTRE * Math.abs(comaG) ? null : [comaX / comaG, comaY / comaG],
    flares,
  };
}

function fittedFrame(
  frame: FitFrame,
  own: FrameParameters,
  focusError: number,
  turn: number,
  meanCurvature: number,
): FittedFrame {
  const weight = frame.cells.reduce((sum, cell) => sum + 1 / cell.shearError ** 2, 0);
  const air = Math.max(0.04 * own.seeing, own.seeing - PIXEL_VARIANCE);
  return {
    file: frame.file,
    seeingPx: Math.sqrt(air / MOMENT_PER_FWHM2),
    focusPx: turn * (own.focus + meanCurvature),
    focusErrorPx: focusError,
    middleFocusPx: turn * own.focus,
    trailPlus: own.plus,
    trailCross: own.cross,
    trailError: Math.sqrt(1 / weight),
  };
}

/** Standard errors that the blur budget needs, in the fit's units. */
export function sharedErrors(model: ChosenModel): { tilt: number; medial: number; astigmatism: number } {
  const gravity = model.problem.free.includes('gx');
  const tilt = Math.hypot(
    standardError(model, gravity ? 'gx' : 'tx'),
    standardError(model, gravity ? 'gy' : 'ty'),
  );
  return {
    tilt: tilt / Math.SQRT2,
    medial: standardError(model, 'km'),
    astigmatism: standardError(model, 'ka'),
  };
}

/**
 * Error of a part that blurs with its square: near zero the minimum lies beside zero by noise alone, and its curvature there says too
 * small an error. So a part that the fit hardly needs (significance in standard errors) is never better known than its own size.
 */
function honest(value: number, error: number, significance: number): number {
  return Math.max(error, Math.abs(value) / Math.max(1, significance - 3));
}

function standardError(model: ChosenModel, name: SharedName): number {
  const k = model.problem.free.indexOf(name);
  return k < 0 ? 0 : Math.sqrt(Math.max(0, model.solution.sharedCovariance[k][k]));
}

function correlation(model: ChosenModel, a: SharedName, b: SharedName): number {
  const i = model.problem.free.indexOf(a);
  const j = model.problem.free.indexOf(b);
  if (i < 0 || j < 0) return 0;
  const c = model.solution.sharedCovariance;
  const norm = Math.sqrt(c[i][i] * c[j][j]);
  return norm > 0 ? c[i][j] / norm : 0;
}

/** Spread of the frames' focus in units of its error. */
function focusSpread(own: readonly FrameParameters[], errors: readonly number[]): number {
  if (own.length < 2) return 0;
  let weight = 0;
  let sum = 0;
  own.forEach((p, k) => {
    const w = 1 / (errors[k] ** 2 + 1e-12);
    weight += w;
    sum += w * p.focus;
  });
  const mean = sum / weight;
  const chi2 = own.reduce((total, p, k) => total + ((p.focus - mean) / (errors[k] + 1e-6)) ** 2, 0);
  return Math.sqrt(Math.max(0, chi2 - (own.length - 1)));
}
