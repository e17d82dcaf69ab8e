import { robustLinearFit } from '../field/index.js';
import type { JudgedFrame } from './types.js';

/** How the field turned from frame to frame. */
export interface TurnRate {
  readonly degPerHour: number;
  readonly error: number;
  readonly significance: number;
  /** Trail that this rate makes at half a diagonal in the longest exposure, pixels, and its error. */
  readonly trailPx: number;
  readonly trailErrorPx: number;
  /** True when the frames lie so exactly on each other that somebody aligned them: then they keep no memory of a turn. */
  readonly aligned: boolean;
}

const FEWEST_FRAMES = 4;
/** No mount brings a field back to this part of a pixel for a whole night. */
const ALIGNED_PX = 0.05;

/**
 * Steady turn of the field from the frames' registration, degrees an hour; frames of one set-up.
 *
 * Null with fewer than four registered frames with a time and an exposure. A half turn (meridian flip) is no turn.
 */
export function turnRate(frames: readonly JudgedFrame[]): TurnRate | null {
  const used = frames.flatMap((frame) => {
    const time = Date.parse(frame.header.dateObs ?? '');
    return frame.registration !== null && Number.isFinite(time)
      ? [{ frame, registration: frame.registration, hours: time / 3.6e6 }]
      : [];
  });
  if (used.length < FEWEST_FRAMES) return null;
  const start = Math.min(...used.map((f) => f.hours));
  const keyOf = (f: (typeof used)[number]): string => `${f.frame.group}|${f.registration.flipped}`;
  const keys = [...new Set(used.map(keyOf))];
  const fit = robustLinearFit(
    used.map((f) => [f.hours - start, ...keys.map((key) => (keyOf(f) === key ? 1 : 0))]),
    used.map((f) => unturned(f.registration.rotationDeg)),
    used.map(({ frame, registration }) => {
      const reach = 0.25 * Math.hypot(frame.image.widthPx, frame.image.heightPx);
      const shift = Math.max(0.05, registration.rmsPx) / Math.sqrt(Math.max(3, registration.matched));
      return Math.max(2e-4, ((shift / reach) * 180) / Math.PI);
    }),
  );
  const longest = Math.max(...used.map((f) => f.frame.header.exposureSeconds ?? 0));
  if (!fit || !(longest > 0)) return null;
  const rate = fit.coefficients[0];
  const error = Math.sqrt(fit.covariance[0][0]);
  const half = Math.hypot(used[0].frame.image.widthPx, used[0].frame.image.heightPx) / 2;
  const trail = (perHour: number): number => (((perHour * longest) / 3600) * Math.PI * half) / 180;
  const shifts = used.map((f) => Math.hypot(f.registration.dxPx, f.registration.dyPx));
  return {
    degPerHour: rate,
    error,
    significance: Math.abs(rate) / error,
    trailPx: trail(Math.abs(rate)),
    trailErrorPx: trail(error),
    aligned: shifts.every((shift) => shift < ALIGNED_PX),
  };
}

/** Rotation about the nearest half turn, degrees in (-90, 90]. */
function unturned(deg: number): number {
  const d = ((deg % 180) + 180) % 180;
  return d > 90 ? d - 180 : d;
}
