import { bounded } from './confidence.js';
import type { NightSeries } from './night-series.js';
import { trailMixture, windOverMount } from './trail-mixture.js';
import { pictureOf, trailPicture, windLogOdds, type TrailedFrame, type TrailPicture } from './trails.js';

/** Trails of one origin, and what they speak for. */
export interface TrailPart {
  readonly picture: TrailPicture;
  /** Log-odds of wind against the mount. */
  readonly windLogOdds: number;
}

/** Log-odds against two origins in one night before anything is seen. */
const RARE = 1;
/** What the mixture's likelihoods may say at most, and how far they are believed: real gusts and mounts are less tidy than their models. */
const MOST_PARTED = 4;
const MOST = 2;
const BELIEVED = 0.5;

/**
 * Part the trails of a night by origin: all together, or the frames that keep one axis (the mount) apart from the others (the wind), if they do
 * so beyond chance (see `trailMixture`). Frames without a trail go with the others.
 */
export function trailParts(night: NightSeries): TrailPart[] {
  const whole = trailPicture(night);
  const bad = whole.trailed.filter((t) => t.confidence > 0.4);
  const calm = whole.trailed.filter((t) => t.confidence <= 0.4);
  const mixture = trailMixture(bad, calm);
  if (mixture === null || mixture.overWind < RARE) return [partOf(whole, bad, calm)];
  const { mount, wind } = mixture;
  const inArcsec = whole.unit === 'arcsec';
  const others = pictureOf(
    whole.trailed.filter((t) => !mount.includes(t)),
    inArcsec,
  );
  return [
    {
      picture: { ...pictureOf([...calm, ...mount], inArcsec), trailed: mount },
      windLogOdds: -bounded(mixture.overWind - RARE, MOST_PARTED),
    },
    partOf(others, wind, calm),
  ];
}

function partOf(
  picture: TrailPicture,
  bad: readonly TrailedFrame[],
  calm: readonly TrailedFrame[],
): TrailPart {
  return {
    picture,
    windLogOdds: windLogOdds(picture) + bounded(BELIEVED * windOverMount(bad, calm), MOST),
  };
}
