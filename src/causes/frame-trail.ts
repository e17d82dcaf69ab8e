import type { FittedFrame, JudgedFrame, OpticalState } from '../night/types.js';

/** Trail of a frame: half difference of its variances along and across, over the mean size squared, and the error; axis in the pixel frame. */
export interface FrameTrail {
  readonly strength: number;
  readonly error: number;
  readonly angleDeg: number;
}

/** Fewer frames of a set-up than this: their fit cannot tell the mount's trail from a pattern of the optics. */
const SEPARABLE_FRAMES = 4;
/** Stars whose axes agree this well all over the field are drawn out by one thing, not by the optics' patterns. */
const ONE_AXIS = 0.7;
/** Significance from which on the field turns. */
const TURNS = 6;
/** Part of a pattern of all axes that the mean over a sensor that is no square may keep. */
const KEPT_OF_PATTERN = 0.15;

/**
 * Axis of the stars themselves, where they are plainly drawn out along one, degrees; else null. A night trailed alike in all its frames
 * leaves the joint fit free to lend a part of the trail to the optics, which turns its axis by some degrees: this one stays. Not where
 * the optics flare or the field turns, as those have an axis of their own.
 */
export function plainAxisDeg(frame: JudgedFrame, optics: OpticalState | null): number | null {
  const detail = optics?.detail ?? null;
  if ((detail?.coma ?? null) !== null || (detail?.rotation.significance ?? 0) > TURNS) return null;
  return (frame.trail.coherence ?? 0) > ONE_AXIS ? frame.trail.angleDeg : null;
}

/**
 * Trail of a frame: from the joint fit, where frames enough take the optics' own patterns out; else from the common elongation of its stars.
 * There a fit that sees less of a trail is believed, unless the stars are plainly drawn out along one axis. Null where neither was measured.
 */
export function frameTrail(
  frame: JudgedFrame,
  fitted: FittedFrame | null,
  optics: OpticalState | null,
): FrameTrail | null {
  const byFit = fittedTrail(frame, fitted);
  const measured = commonTrail(frame);
  if (byFit === null || measured === null) return byFit ?? measured;
  if ((optics?.detail.frames.length ?? 0) >= SEPARABLE_FRAMES) return byFit;
  const flared = (optics?.detail.coma ?? null) !== null;
  if ((frame.trail.coherence ?? 0) > ONE_AXIS && !flared) return measured;
  return { ...measured, strength: Math.min(measured.strength, byFit.strength) };
}

function fittedTrail(frame: JudgedFrame, fitted: FittedFrame | null): FrameTrail | null {
  if (fitted === null || frame.fwhm.px === null) return null;
  const size = 0.2 * frame.fwhm.px ** 2;
  const angle = (Math.atan2(fitted.trailCross, fitted.trailPlus) * 90) / Math.PI;
  return {
    strength: Math.hypot(fitted.trailPlus, fitted.trailCross) / size,
    error: fitted.trailError / size,
    angleDeg: (angle + 180) % 180,
  };
}

function commonTrail(frame: JudgedFrame): FrameTrail | null {
  const { angleDeg, coherence, significance } = frame.trail;
  if (angleDeg === null || coherence === null || frame.elongation === null) return null;
  const length = (frame.elongation ** 2 - 1) / (frame.elongation ** 2 + 1);
  const strength = length * coherence;
  const error = significance === null || significance <= 0 ? 0.05 : strength / significance;
  return { strength, error: Math.hypot(error, KEPT_OF_PATTERN * length * (1 - coherence)), angleDeg };
}

/** Variance of a square pixel's response, pixel^2, and the part by which it may differ between rows and columns. */
const PIXEL_VARIANCE = 1 / 12;
/** A twentieth in the width of the response: gates, charge transfer and diffusion are not alike both ways (common practice, no source). */
const UNEVEN = 0.1;

/**
 * Ellipticity along rows or columns that the pixels themselves may fake, as a `strength`: what the pixel adds to the stars' variance
 * is theirs the less, the narrower they are (variance 0.2 FWHM^2). 0.001 at 6 px, 0.025 at 1.3 px; nothing along the diagonals.
 */
export function pixelEllipticity(fwhmPx: number, angleDeg: number): number {
  const part = Math.min(1, PIXEL_VARIANCE / (0.2 * fwhmPx * fwhmPx));
  return UNEVEN * part * Math.abs(Math.cos((angleDeg * Math.PI) / 90));
}
