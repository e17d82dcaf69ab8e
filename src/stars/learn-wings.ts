import type { AdaptiveMoments } from './adaptive-moments.js';
import { openWindow, type FirstLook } from './first-look.js';
import { medianInPlace } from '../stats/index.js';
import type { FrameFits } from './fit-stars.js';
import type { MoffatFit } from './moffat-fit.js';
import type { FrameSetting } from './frame-setting.js';
import { measureFluxWithin } from './growth-curve.js';
import { collectWings, describeWings, makeWingCollector, WING_REACH } from './wings.js';

/** How the frame's mean star goes on beyond the aperture of the half-flux measurement. */
export interface FrameWings {
  /** Aperture radius for a star of these moments, px. */
  readonly reachPx: (moments: AdaptiveMoments) => number;
  readonly totalOverReference: number;
  /** Its standard error, as a part of it: the total fluxes of all stars share it. */
  readonly totalError: number;
  /** Mean star's light per pixel in the sky ring over its flux, times its own mean variance (px^2): dimensionless. */
  readonly skyLevel: number;
}

/** Aperture radius in units of a star's own moment width, and at least so many pixels: a smaller circle would cut too few. */
const REFERENCE = 1.35;
const SMALLEST_APERTURE_PX = 4.5;
/** Beyond `REFERENCE` a star under ideal Kolmogorov seeing has this part of its flux more, falling about as radius^-2 (computed from the profile: 0.078 at 1.35, 0.034 at 2.06, 0.0083 at 4). */
const SEEING_EXCESS = 0.078;
/** Moment width over width at half maximum, less 1, under ideal Kolmogorov seeing (computed from the profile). */
const SEEING_BROADENING = 0.051;
/** How well that ratio foretells the wings: seeing and a Moffat of the same core differ by twice as much. */
const FORECAST_ERROR = 0.03;
/** Cores broader than that of seeing are those of Moffat profiles, whose wings grow more slowly with it (from the profiles, exponents 2.5 to 5). */
const BEYOND_SEEING = 0.36;
const STRONGEST = 1.8;
/** Light per square width at one width, carried in by the r^(-11/3) law, of ideal seeing; over the total flux. */
const SEEING_LEVEL = 0.0235;

/** Learn the wings from the calibrators' outer rings, weighed against what their cores foretell. */
export function learnWings(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  frame: FrameFits,
): FrameWings {
  const { widthPx, window } = setting;
  // A drawn-out star needs a circle that holds its long axis.
  const { xx, xy, yy } = setting.shape;
  const split = Math.hypot(xx - yy, 2 * xy);
  const stretch = ((xx + yy + split) / Math.max(xx + yy - split, 1e-6)) ** 0.25;
  const reference = Math.max(REFERENCE * stretch, SMALLEST_APERTURE_PX / widthPx);
  const gaussianExcess = 2 ** (-4 * reference * reference);
  const seeingExcess = SEEING_EXCESS * (REFERENCE / reference) ** 2;
  const collector = makeWingCollector(reference);
  const broadening: number[] = [];
  for (const k of calibrators) {
    const { moments, source } = looks[k];
    const star = frame.fits.get(k);
    if (moments === null) continue;
    const width = momentWidth(moments);
    const x = star?.x ?? moments.x;
    const y = star?.y ?? moments.y;
    if (star !== undefined) broadening.push(width / lightWidth(star, frame) - 1);
    openWindow(setting, source, x + 1, y + 1, WING_REACH * Math.min(width, 1.08 * widthPx));
    if (window.isCut) continue;
    const flux = measureFluxWithin(window, x, y, reference * width, 0, setting.isMosaic);
    collectWings(collector, window, x, y, width, flux);
  }
  const seen = describeWings(collector);
  const foretold = gaussianExcess + forecast(broadening) * (seeingExcess - gaussianExcess);
  // Rings so far out are all noise in a sparse frame: there the core's own shape tells more.
  const trust = seen === null ? 0 : FORECAST_ERROR ** 2 / (FORECAST_ERROR ** 2 + seen.error ** 2);
  const excess = seen === null ? foretold : foretold + trust * (seen.totalOverReference - 1 - foretold);
  // Of two independent readings weighted by 1 / error^2: what is left of the forecast's variance.
  const error = FORECAST_ERROR * Math.sqrt(1 - trust);
  const strength = Math.max(0, (excess - gaussianExcess) / (seeingExcess - gaussianExcess));
  const ringMiddle = (setting.ringInner + setting.ringOuter) / 2 / widthPx;
  return {
    reachPx: (moments) => reference * momentWidth(moments),
    totalOverReference: 1 + excess,
    totalError: error / (1 + excess),
    skyLevel: (strength * SEEING_LEVEL * ringMiddle ** (-11 / 3)) / 2.3548 ** 2,
  };
}

/** Strength of the wings, 1 that of ideal seeing, from how much wider the moments are than the half-maximum width: both grow with the wings. */
function forecast(broadening: number[]): number {
  if (broadening.length < 3) return 1;
  const strength = medianInPlace(broadening) / SEEING_BROADENING;
  return strength < 1 ? Math.max(0, strength) : Math.min(STRONGEST, 1 + BEYOND_SEEING * (strength - 1));
}

function lightWidth(star: MoffatFit, { widthFactor }: FrameFits): number {
  return Math.sqrt(star.major * star.minor) * widthFactor;
}

/** Full width (px) of the Gaussian that has the star's moments, geometric mean of both axes. */
function momentWidth({ mxx, mxy, myy }: AdaptiveMoments): number {
  return 2.3548 * (mxx * myy - mxy * mxy) ** 0.25;
}
