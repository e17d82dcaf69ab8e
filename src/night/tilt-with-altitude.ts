import { targetAltitudeDeg } from '../optics/sky/index.js';
import { choleskyInPlace, choleskySolveInPlace } from '../stats/index.js';
import type { FitFrame } from './joint-fit-data.js';
import type { SharedName } from './joint-fit-model.js';
import type { ChosenModel } from './joint-fit-models.js';
import { solveJointFit } from './joint-fit-solve.js';
import type { JudgedFrame } from './types.js';

/** The tilt of the low half of a night's frames against that of the high half. */
export interface TiltWithAltitude {
  /** Median altitudes of the two halves, degrees. */
  readonly lowDeg: number;
  readonly highDeg: number;
  /** Size of the change of the tilt vector over the tilt itself, and its error. */
  readonly change: number;
  readonly changeError: number;
  /** The change against its measuring error. */
  readonly significance: number;
}

const FEWEST_EACH = 4;
/** Halves whose altitudes lie closer than this see gravity pull alike. */
const LEAST_SPAN_DEG = 15;

/**
 * Does the tilt change with the altitude of the telescope, as a sagging joint's does? The frames are parted into a low and a high half; the
 * tilt of each is fitted anew while curvature and all else shared stay as found.
 *
 * Null with fewer than four frames in a half, less than 15 degrees between their medians, or no tilt in the model.
 */
export function tiltWithAltitude(
  model: ChosenModel,
  frames: readonly JudgedFrame[],
): TiltWithAltitude | null {
  const names: readonly [SharedName, SharedName] = model.problem.free.includes('gx')
    ? ['gx', 'gy']
    : ['tx', 'ty'];
  if (!model.problem.free.includes(names[0])) return null;
  const known = model.problem.frames
    .map((frame, k) => ({
      frame,
      own: model.solution.own[k],
      altitude: frameAltitudeDeg(frames[frame.index]),
    }))
    .filter((f): f is { frame: FitFrame; own: (typeof f)['own']; altitude: number } => f.altitude !== null)
    .sort((a, b) => a.altitude - b.altitude);
  const half = Math.floor(known.length / 2);
  if (half < FEWEST_EACH) return null;
  const [low, high] = [known.slice(0, half), known.slice(-half)];
  const [lowDeg, highDeg] = [low, high].map((part) => part[Math.floor(half / 2)].altitude);
  if (highDeg - lowDeg < LEAST_SPAN_DEG) return null;
  const scale = Math.max(1, model.scatter) ** 2;
  const [a, b] = [low, high].map((part) => {
    const problem = { ...model.problem, frames: part.map((f) => f.frame), free: names };
    return solveJointFit(
      problem,
      model.solution.shared,
      part.map((f) => f.own),
      15,
    );
  });
  const change = names.map((name) => b.shared[name] - a.shared[name]);
  const covariance = Float64Array.from(
    a.sharedCovariance.flatMap((row, k) => row.map((c, m) => scale * (c + b.sharedCovariance[k][m]))),
  );
  const meanVariance = (covariance[0] + covariance[3]) / 2;
  const size = Math.hypot(...names.map((name) => model.solution.shared[name]));
  if (!(size > 0)) return null;
  return {
    lowDeg,
    highDeg,
    change: Math.hypot(...change) / size,
    changeError: Math.sqrt(meanVariance) / size,
    significance: lengthInErrors(change, covariance),
  };
}

/** Length of a vector in units of its errors (Mahalanobis distance); 0 where the covariance is singular. */
function lengthInErrors(vector: readonly number[], covariance: Float64Array): number {
  const solved = Float64Array.from(vector);
  if (!choleskyInPlace(covariance, vector.length)) return 0;
  choleskySolveInPlace(covariance, vector.length, solved);
  return Math.sqrt(vector.reduce((sum, value, k) => sum + value * solved[k], 0));
}

/** Altitude of a frame's target, degrees: header, else its airmass, else place, time and target; null when none is there. */
function frameAltitudeDeg({ header }: JudgedFrame): number | null {
  if (header.altitudeDeg !== null) return header.altitudeDeg;
  if (header.airmass !== null && header.airmass >= 1) return (Math.asin(1 / header.airmass) * 180) / Math.PI;
  const { dateObs, latitudeDeg, longitudeDeg, raDeg, decDeg } = header;
  if (dateObs === null || latitudeDeg === null || longitudeDeg === null || raDeg === null || decDeg === null)
    return null;
  const site = { latitudeDeg, longitudeDeg, elevationMetre: header.elevationMetre ?? 0 };
  return targetAltitudeDeg(dateObs, site, { raDeg, decDeg });
}
