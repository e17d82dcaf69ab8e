import { median, medianAbsoluteDeviation } from 'simple-statistics';
import type { FitFrame } from './joint-fit-data.js';
import { predictSkew, type SharedParameters } from './joint-fit-model.js';

/** How far the one-sidedness of a frame's stars follows the fitted coma: 1 exactly, 0 not at all. */
interface FrameFlare {
  readonly share: number;
  readonly variance: number;
}

/**
 * How well the one-sidedness of the stars bears out a fitted coma, in standard errors (positive: they agree). Second moments can suggest a
 * coma that is none; flares cannot. Null without third moments.
 *
 * The optics flare all frames alike, a jerk of the mount each in its own direction, and what differs between frames is nothing that their
 * number takes away: so the scatter of the frames' shares beyond their own errors counts in full. Medians, as one jerk among calm frames
 * proves nothing.
 */
export function comaFlares(frames: readonly FitFrame[], shared: SharedParameters): number | null {
  const flares = frames.flatMap((frame) => frameFlare(frame, shared) ?? []);
  if (flares.length === 0) return null;
  const shares = flares.map((f) => f.share);
  const own = median(flares.map((f) => f.variance));
  const between = Math.max(0, (1.4826 * medianAbsoluteDeviation(shares)) ** 2 - own);
  return median(shares) / Math.sqrt(own / flares.length + between);
}

/** Slope of a frame's measured against its predicted third moments; null without either. */
function frameFlare(frame: FitFrame, shared: SharedParameters): FrameFlare | null {
  const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };
  let xx = 0;
  let xy = 0;
  for (const cell of frame.cells) {
    if (!Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY) || !(cell.skewError > 0)) continue;
    predictSkew(shared.comaG, shared.comaX, shared.comaY, cell, skew);
    const weight = 1 / cell.skewError ** 2;
    const [x, y] = skew.value;
    xx += weight * (x * x + y * y);
    xy += weight * (x * cell.skewX + y * cell.skewY);
  }
  return xx > 0 ? { share: xy / xx, variance: 1 / xx } : null;
}
