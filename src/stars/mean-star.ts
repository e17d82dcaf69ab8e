import { medianInPlace } from '../stats/index.js';
import type { Tensor } from './adaptive-moments.js';
import { starPrecision, type FittedStar } from './core-collector.js';
import { GAMMA_SPREAD, SEEING_GAMMA } from './common-gamma.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameSetting } from './frame-setting.js';
import { fitJointly, takeJointStar, withinRadius, type JointStar } from './joint-profile.js';
import { moffatAxes, moffatHeight, widthOnSensor, type MoffatShape } from './moffat-profile.js';

/** Fits look at the pixels within this many full widths: the core, which decides the width at half maximum. */
export const CORE_RADIUS = 1.15;
/** Stars this many spreads worse fitted than most are pairs or spoilt. */
export const ODD_ONE = 4;

/** One shape for all calibrators of a frame; each has its own height and place under it. */
export interface MeanStar {
  readonly shape: MoffatShape;
  /** Full width at half maximum on the sensor, px: geometric mean of both axes. */
  readonly widthPx: number;
  /** Its standard error as a part of it. */
  readonly widthError: number;
  /** By position in the list of first looks. */
  readonly stars: ReadonlyMap<number, FittedStar>;
  /** What `placeJointStar` takes; same keys. */
  readonly joint: ReadonlyMap<number, JointStar>;
}

/** A star takes part with this many pixels at least, for three parameters of its own. */
const FEWEST_PIXELS = 4;
const FEWEST_STARS = 6;

/**
 * The mean star of a frame whose stars are too narrow to be told from each other's noise and sampling one by one: the calibrators fitted jointly over the core that decides the width, pairs
 * and other odd ones left out. `photonFactor`: see `starPrecision`. Null when too few can be used.
 */
export function meanStar(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  nodes: Float64Array,
  photonFactor: number,
): MeanStar | null {
  const start = gaussianShape(setting.shape);
  if (start === null) return null;
  const { xx, xy, yy } = setting.shape;
  const major = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  const stars = takeStars(setting, looks, calibrators, {
    radiusPx: CORE_RADIUS * 2.3548 * Math.sqrt(major),
    peakOverTop: 1 / moffatHeight(start, nodes, 0, 0),
    photonFactor,
  });
  if (stars.size < FEWEST_STARS) return null;
  const prior = { gamma: SEEING_GAMMA, spread: GAMMA_SPREAD };
  const first = fitJointly([...stars.values()], nodes, start, prior);
  if (first === null) return null;
  // Moments are wider than the half-maximum width where the wings are: now the core's own radius is known.
  const single = withoutOddOnes(stars, CORE_RADIUS * widthsOf(first.shape, nodes).major);
  if (single.size < FEWEST_STARS) return null;
  const fit = fitJointly([...single.values()], nodes, first.shape, prior);
  if (fit === null) return null;
  const { shape } = fit;
  const widths = widthsOf(shape, nodes);
  const widthPx = Math.sqrt(widths.major * widths.minor);
  // The width on the sensor follows the optical one only in part.
  const optical = 2 / (shape.a * shape.c - shape.b * shape.b) ** 0.25;
  const widthError = fit.logWidthError * Math.min(1, (optical / widthPx) ** 2);
  const fitted = [...single].map(([k, { pixels, x, y, peak }]): [number, FittedStar] => [
    k,
    { x: pixels.x0 + x, y: pixels.y0 + y, peak, shape, ...widths },
  ]);
  return { shape, widthPx, widthError, stars: new Map(fitted), joint: single };
}

/** Half-maximum ellipse, before the pixel, of a Gaussian with these moments; null when they leave none. */
function gaussianShape(moments: Tensor): MoffatShape | null {
  const xx = moments.xx - 1 / 12;
  const yy = moments.yy - 1 / 12;
  const determinant = 2 * Math.LN2 * (xx * yy - moments.xy * moments.xy);
  if (!(xx > 0 && determinant > 0)) return null;
  return { a: yy / determinant, b: -moments.xy / determinant, c: xx / determinant, gamma: SEEING_GAMMA };
}

function takeStars(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  {
    radiusPx,
    peakOverTop,
    photonFactor,
  }: { readonly radiusPx: number; readonly peakOverTop: number; readonly photonFactor: number },
): Map<number, JointStar> {
  const stars = new Map<number, JointStar>();
  for (const k of calibrators) {
    const { moments, pedestal, source, peak: top } = looks[k];
    if (moments === null || !(top > 0)) continue;
    openWindow(setting, source, moments.x + 1, moments.y + 1, radiusPx + 1);
    const { x, y } = moments;
    const weight = starPrecision(top, setting.window.noise, photonFactor) / top ** 2;
    const star = takeJointStar(setting.window, { x, y, peak: peakOverTop * top }, weight, radiusPx, pedestal);
    if (star.pixels.count >= FEWEST_PIXELS) stars.set(k, star);
  }
  return stars;
}

/** The stars that fit about as well as most do, with their pixels within `radiusPx`. */
function withoutOddOnes(stars: ReadonlyMap<number, JointStar>, radiusPx: number): Map<number, JointStar> {
  const misfits = Array.from(stars.values(), ({ misfit }) => misfit);
  const typical = medianInPlace(misfits);
  const spread = 1.4826 * medianInPlace(misfits.map((m) => Math.abs(m - typical)));
  // The misfit of a few pixels has a long tail of its own.
  const limit = typical + ODD_ONE * Math.max(spread, typical);
  const kept = new Map<number, JointStar>();
  for (const [k, star] of stars) {
    const within = withinRadius(star, radiusPx);
    if (star.misfit <= limit && within.pixels.count >= FEWEST_PIXELS) kept.set(k, within);
  }
  return kept;
}

/** Widths on the sensor and angle of the long axis. */
function widthsOf(shape: MoffatShape, nodes: Float64Array): { major: number; minor: number; angle: number } {
  const { major, minor, angle } = moffatAxes(shape);
  return {
    major: widthOnSensor(shape, nodes, angle, major),
    minor: widthOnSensor(shape, nodes, angle + Math.PI / 2, minor),
    angle,
  };
}
