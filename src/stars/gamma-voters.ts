import { choosePixels, keepPixels, layPixels, type ChosenPixels, type KeptPixels } from './chosen-pixels.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameSetting } from './frame-setting.js';
import { CORE_RADIUS } from './mean-star.js';
import {
  shapeFromMoments,
  startFromVote,
  voteOnGamma,
  type MoffatFitOptions,
  type MoffatStart,
  type MoffatVote,
} from './moffat-fit.js';
import type { MoffatShape } from './moffat-profile.js';

/** A circle this wide holds 16 pixels for 6 parameters; on a mosaic, where half of the sites are green, one of 3.3 px holds 17 of them. */
const SMALLEST_RADIUS_PX = 2.3;
const SMALLEST_RADIUS_MOSAIC_PX = 3.3;

/** Radius (px) of the smallest circle that a single star is fitted in. */
export function smallestRadius(isMosaic: boolean): number {
  return isMosaic ? SMALLEST_RADIUS_MOSAIC_PX : SMALLEST_RADIUS_PX;
}

/** Stars that are asked for their exponent in rounds: what one round finds, the next one, and the fits that follow, begin with. Stars go by their position in the list of first looks. */
export interface GammaVoters {
  /** `photonFactor`: as in `MoffatFitOptions`. */
  readonly ask: (k: number, gamma: number, photonFactor: number) => MoffatVote | null;
  /** Where a star's fit at this gamma begins: from its last vote, else from its moments, made narrower as voters were found to be. Null without moments. */
  readonly startOf: (k: number, gamma: number) => MoffatStart | null;
  /** Lay the pixels of a star's fit on the desk. */
  readonly lay: (k: number) => ChosenPixels | null;
  readonly optionsOf: (k: number, photonFactor: number) => MoffatFitOptions;
}

/** Voters that nobody has asked yet. */
export function gammaVoters(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  nodes: Float64Array,
): GammaVoters {
  const votes = new Map<number, MoffatVote>();
  const kept = new Map<number, KeptPixels>();
  /** Voters' half-maximum ellipses over those of their moments: sum of the logarithms. */
  let logs = 0;

  const startOf: GammaVoters['startOf'] = (k, gamma) => {
    const vote = votes.get(k);
    if (vote !== undefined) return startFromVote(vote, gamma);
    const { moments } = looks[k];
    const shape = moments === null ? null : shapeFromMoments(moments, nodes, gamma);
    if (moments === null || shape === null) return null;
    const factor = votes.size > 0 ? Math.exp(logs / votes.size) : 1;
    return { x: moments.x, y: moments.y, shape: narrowed(shape, factor) };
  };
  const lay: GammaVoters['lay'] = (k) => {
    const pixels = kept.get(k);
    return pixels === undefined ? chooseStar(setting, looks[k]) : layPixels(pixels);
  };
  const optionsOf: GammaVoters['optionsOf'] = (k, factor) => ({
    noise: looks[k].noise,
    pedestalError: looks[k].pedestalError,
    nodes,
    photonFactor: factor,
  });
  const ask: GammaVoters['ask'] = (k, gamma, photonFactor) => {
    const start = startOf(k, gamma);
    const pixels = start === null ? null : lay(k);
    if (start === null || pixels === null) return null;
    if (!kept.has(k)) kept.set(k, keepPixels(pixels));
    const vote = voteOnGamma(pixels, start, optionsOf(k, photonFactor));
    if (vote === null) return null;
    if (!votes.has(k)) {
      const before = votes.size > 0 ? logs / votes.size : 0;
      logs += before + Math.log(steepness(vote.shape) / steepness(start.shape));
    }
    votes.set(k, vote);
    return vote;
  };
  return { ask, startOf, lay, optionsOf };
}

/** Inverse square of the half-maximum radius, geometric mean of both axes (px^-2). */
function steepness({ a, b, c }: MoffatShape): number {
  return Math.sqrt(a * c - b * b);
}

function narrowed({ a, b, c, gamma }: MoffatShape, factor: number): MoffatShape {
  return { a: factor * a, b: factor * b, c: factor * c, gamma };
}

/** The usable pixels that the profile of a star is fitted to, laid on the desk. Null without moments. */
function chooseStar(setting: FrameSetting, { moments, source, pedestal }: FirstLook): ChosenPixels | null {
  if (moments === null) return null;
  const { x, y, mxx, mxy, myy } = moments;
  const major = (mxx + myy) / 2 + Math.hypot((mxx - myy) / 2, mxy);
  const radiusPx = Math.max(smallestRadius(setting.isMosaic), CORE_RADIUS * 2.3548 * Math.sqrt(major));
  openWindow(setting, source, x + 1, y + 1, radiusPx + 1);
  return choosePixels(setting.window, x, y, radiusPx, pedestal);
}
