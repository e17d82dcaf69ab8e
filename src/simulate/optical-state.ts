import type { RaySet } from './rays.js';

/** The optics and the mount's rotation during one frame: all that decides where a ray lands (SCIENCE: focal surfaces over the sensor). */
export interface OpticalState {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pitch of a stored pixel, micrometres. */
  readonly pitchMicron: number;
  readonly focalRatio: number;
  /** Inner over outer radius of the pupil. */
  readonly obstruction: number;
  /** Image surface relative to the sensor at the sensor's centre, micrometres; > 0: farther from the optics than the sensor. */
  readonly focusMicron: number;
  /** Slope of the image surface, micrometres per half-diagonal along x and y. */
  readonly tiltX: number;
  readonly tiltY: number;
  /** Tangential and sagittal surfaces at the corner relative to the centre, micrometres. */
  readonly tangentialMicron: number;
  readonly sagittalMicron: number;
  /** Length of the coma flare at the corner, micrometres on the sensor, and its centre in half-diagonals from the sensor's centre. */
  readonly comaMicron: number;
  readonly comaCentreX: number;
  readonly comaCentreY: number;
  /** Turn of the field during the exposure, radians, about a point in FITS pixels. */
  readonly rotationRad: number;
  readonly rotationCentreX: number;
  readonly rotationCentreY: number;
}

/** Position in half-diagonals from the sensor's centre, for FITS pixel coordinates. */
export function fieldPosition(state: OpticalState, x: number, y: number): readonly [number, number] {
  const halfDiagonal = Math.hypot(state.widthPx, state.heightPx) / 2;
  return [(x - (state.widthPx + 1) / 2) / halfDiagonal, (y - (state.heightPx + 1) / 2) / halfDiagonal];
}

/** Heights of the tangential and sagittal image surfaces above the sensor at a FITS pixel position, micrometres. */
export function focusAt(
  state: OpticalState,
  x: number,
  y: number,
): { readonly tangential: number; readonly sagittal: number } {
  const [X, Y] = fieldPosition(state, x, y);
  const plane = state.focusMicron + state.tiltX * X + state.tiltY * Y;
  const r2 = X * X + Y * Y;
  return { tangential: plane + state.tangentialMicron * r2, sagittal: plane + state.sagittalMicron * r2 };
}

/**
 * Trace the rays of a star at FITS pixel position (x, y) to the sensor: landing points relative to the star, pixels, into `landX`, `landY`.
 *
 * Transverse aberrations of a focal shift, of primary astigmatism (separate tangential and sagittal foci) and of third-order
 * coma, landing = C h rho^2 (2 + cos 2 phi, sin 2 phi) (Welford, Aberrations of Optical Systems, chapter 7), its mean taken out.
 */
export function traceRays(
  state: OpticalState,
  rays: RaySet,
  x: number,
  y: number,
  landX: Float64Array,
  landY: Float64Array,
): void {
  const [X, Y] = fieldPosition(state, x, y);
  const r = Math.hypot(X, Y);
  const c = r > 0 ? X / r : 1;
  const s = r > 0 ? Y / r : 0;
  const { tangential, sagittal } = focusAt(state, x, y);
  const perMicron = 1 / (2 * state.focalRatio * state.pitchMicron);
  const radial = tangential * perMicron;
  const around = sagittal * perMicron;

  const comaX = X - state.comaCentreX;
  const comaY = Y - state.comaCentreY;
  const comaR = Math.hypot(comaX, comaY);
  const cc = comaR > 0 ? comaX / comaR : 1;
  const cs = comaR > 0 ? comaY / comaR : 0;
  // The flare is three times the coefficient of the third-order term long.
  const coma = (state.comaMicron * comaR) / (3 * state.pitchMicron);
  const comaMean = coma * (1 + state.obstruction ** 2);

  const turnX = -(y - state.rotationCentreY) * state.rotationRad;
  const turnY = (x - state.rotationCentreX) * state.rotationRad;
  for (let i = 0; i < rays.count; i++) {
    const u = rays.u[i];
    const v = rays.v[i];
    const a = radial * (u * c + v * s);
    const b = around * (v * c - u * s);
    const p = u * cc + v * cs;
    const q = v * cc - u * cs;
    const flare = coma * (3 * p * p + q * q) - comaMean;
    const side = 2 * coma * p * q;
    const turn = rays.time[i] - 0.5;
    landX[i] = a * c - b * s + flare * cc - side * cs + rays.trackX[i] + turn * turnX;
    landY[i] = a * s + b * c + flare * cs + side * cc + rays.trackY[i] + turn * turnY;
  }
}
