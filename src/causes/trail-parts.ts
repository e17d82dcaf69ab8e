import { median } from 'simple-statistics';
import { bounded } from './confidence.js';
import type { NightSeries } from './night-series.js';
import { pictureOf, trailPicture, windLogOdds, type TrailedFrame, type TrailPicture } from './trails.js';

/** Trails of one origin, and what they speak for. */
export interface TrailPart {
  readonly picture: TrailPicture;
  /** Log-odds of wind against the mount. */
  readonly windLogOdds: number;
}

/** Trails counted as one: axes this close, lengths (RMS) within this part of each other. */
const SAME_AXIS_DEG = 4;
const SAME_LENGTH = 0.25;
/** Chance that two gusts are of one length in that sense. */
const LENGTH_BY_CHANCE = 0.4;
/** Axes that agree better than this need no second origin. */
const SCATTERED = 0.85;
/** Log-odds against two origins in one night before anything is seen. */
const RARE = 2;

/**
 * Part the trails of a night by origin: all together, or, where their axes scatter, the frames that repeat one trail (the mount) apart from
 * the others (the wind), if they do so beyond chance. Frames without a trail go with the others.
 */
export function trailParts(night: NightSeries): TrailPart[] {
  const whole = trailPicture(night);
  const single = [{ picture: whole, windLogOdds: windLogOdds(whole) }];
  const bad = whole.trailed.filter((t) => t.confidence > 0.4);
  const same = whole.agreement < SCATTERED ? repeating(bad) : [];
  if (same.length < 2) return single;
  const inArcsec = whole.unit === 'arcsec';
  const others = pictureOf(
    whole.trailed.filter((t) => !same.includes(t)),
    inArcsec,
  );
  const calm = whole.trailed.filter((t) => t.confidence <= 0.4);
  const repeated = pictureOf([...calm, ...same], inArcsec);
  const mount = mountLogOdds(repeated, same, bad);
  if (mount < 0) return single;
  return [
    { picture: { ...repeated, trailed: same }, windLogOdds: -mount },
    { picture: others, windLogOdds: windLogOdds(others) },
  ];
}

/** The most trails that lie together in axis and length. */
function repeating(bad: readonly TrailedFrame[]): readonly TrailedFrame[] {
  return bad
    .map((t) =>
      bad.filter(
        (other) =>
          apartDeg(t.angleDeg, other.angleDeg) < SAME_AXIS_DEG &&
          Math.abs(Math.log(other.rms / t.rms)) < SAME_LENGTH,
      ),
    )
    .reduce((most, list) => (list.length > most.length ? list : most), []);
}

function mountLogOdds(
  picture: TrailPicture,
  same: readonly TrailedFrame[],
  bad: readonly TrailedFrame[],
): number {
  const apart = Math.max(...same.map((t) => apartDeg(t.angleDeg, picture.angleDeg)));
  // A further gust falls within this range of axis and length; and as many choices of frames were tried.
  const chance = (Math.max(1, apart) * 4 * LENGTH_BY_CHANCE) / 180;
  const expected = choose(bad.length, same.length) * chance ** (same.length - 1);
  const axis =
    picture.axis === 'ra' || picture.axis === 'dec' ? (picture.axisSource === 'wcs' ? 1.5 : 0.9) : -0.4;
  return bounded(-Math.log(expected), 3) - RARE + slimness(same, bad) + inARow(same, bad) + axis;
}

/**
 * Gusts that widen the stars across the trail, which a repeated trail does not: log-odds of the mount. Where the others are as slim, wind
 * shows itself slim this night, and a chance pair of gusts would look the same. 0 where it was not measured.
 */
function slimness(same: readonly TrailedFrame[], bad: readonly TrailedFrame[]): number {
  const across = (list: readonly TrailedFrame[]): number[] =>
    list.flatMap((t) => t.fact.fitted?.seeingPx ?? []);
  const [slim, wide] = [across(same), across(bad.filter((t) => !same.includes(t)))];
  if (slim.length === 0 || wide.length === 0) return 0;
  return bounded((median(wide) / median(slim) - 1.04) / 0.04, 1.5);
}

/** A fault of the mount holds on from frame to frame; two gusts alike may lie anywhere among the trails. */
function inARow(same: readonly TrailedFrame[], bad: readonly TrailedFrame[]): number {
  const at = same.map((t) => bad.indexOf(t)).sort((a, b) => a - b);
  const together = at[at.length - 1] - at[0] === at.length - 1;
  return together ? Math.min(1, Math.log(bad.length / 2)) : -0.7;
}

function choose(n: number, k: number): number {
  let ways = 1;
  for (let i = 0; i < k; i++) ways = (ways * (n - i)) / (i + 1);
  return ways;
}

function apartDeg(a: number, b: number): number {
  const d = Math.abs(a - b) % 180;
  return Math.min(d, 180 - d);
}
