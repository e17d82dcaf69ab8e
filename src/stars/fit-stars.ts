import { medianInPlace } from '../stats/index.js';
import { commonGamma, SEEING_GAMMA, type CommonGamma } from './common-gamma.js';
import {
  collectCore,
  collectResiduals,
  makeCoreCollector,
  starPrecision,
  type FittedStar,
} from './core-collector.js';
import { coreCorrection, type CoreCorrection } from './core-correction.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameSetting } from './frame-setting.js';
import { gammaVoters, smallestRadius } from './gamma-voters.js';
import { JOINT_OWN, placeJointStar } from './joint-profile.js';
import { CORE_RADIUS, meanStar, ODD_ONE, type MeanStar } from './mean-star.js';
import { fitMoffat, type MoffatFit, type MoffatVote } from './moffat-fit.js';
import { moffatHeight, pixelNodes, widthOnSensor, type MoffatShape } from './moffat-profile.js';

/** All profile fits of a frame. */
export interface FrameFits {
  /** By position in the list of first looks. */
  readonly fits: ReadonlyMap<number, MoffatFit>;
  /** Exponent 1 / beta of all fits. */
  readonly gamma: number;
  /** Relative to the calibrators as `meanStars` has them. */
  readonly correction: CoreCorrection;
  readonly meanStars: ReadonlyMap<number, FittedStar>;
  /** Width of the light over a star's fitted width. */
  readonly widthFactor: number;
  /** Standard error that the widths of all stars share, as a part of them: of the common exponent and of the correction. */
  readonly sharedError: number;
  /** Quadrature order of a pixel in the fits, see `pixelNodes`. */
  readonly order: number;
  /** ADU^2 of variance per ADU of starlight. */
  readonly photonFactor: number;
}

/** Stars that are asked for their exponent: signal to noise at least, so low that noise hardly decides who is in; and how many. */
const VOTER_SNR = 20;
const MOST_VOTERS = 150;
/** A width of this many radii of the circle looked at is none. */
const WIDEST = 6;
/** Common ellipticity above which the profile may differ between the axes. */
const SPLIT_ABOVE = 0.05;
/** How far a fit's width strays from the core's, as a part of it, for a circle twice as wide as the core (sums of Gaussians and seeing: 1 to 2 %). */
const STRAY = 0.02;
/** Below this the pixel itself makes most of the width, and the profile under it hardly matters. */
const NARROWEST_MEAN_PX = 1.3;

/**
 * Fit the chosen stars: the exponent that the good ones share held for all (where a star holds too few pixels, that of the frame's mean star); then, from how the good ones differ from the
 * fit, the factors to the light's own width at half maximum.
 *
 * `chosen`: positions in `looks`, best first; `calibrators`: those clean and bright enough to stand for the frame's star image.
 */
export function fitStars(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  chosen: ArrayLike<number>,
  calibrators: readonly number[],
  electronsPerAdu: number | null,
): FrameFits {
  const order = setting.widthPx < 1.9 ? 4 : setting.widthPx < 3 ? 3 : setting.widthPx < 4.5 ? 2 : 1;
  const nodes = pixelNodes(order);
  const givenFactor = electronsPerAdu !== null && electronsPerAdu > 0 ? 1 / electronsPerAdu : null;
  let photonFactor = givenFactor ?? 0;
  const voters = gammaVoters(setting, looks, nodes);
  const vote = (): CommonGamma<MoffatVote> =>
    commonGamma(
      clearStars(looks, chosen),
      (k, gamma) => voters.ask(k, gamma, photonFactor),
      (votes) => {
        if (givenFactor === null) photonFactor = excessOf(votes);
      },
    );
  // What the mean star and the header tell need not be asked from single stars.
  const wantsMean = isBadlySampled(setting);
  let common = wantsMean && givenFactor !== null ? null : vote();
  const mean = wantsMean ? meanStar(setting, looks, calibrators, nodes, photonFactor) : null;
  if (mean === null) common ??= vote();
  const gamma = mean?.shape.gamma ?? common?.gamma ?? SEEING_GAMMA;

  const fits = new Map<number, MoffatFit>();
  for (let c = 0; c < chosen.length; c += 1) {
    const k = chosen[c];
    const start = voters.startOf(k, gamma);
    const pixels = start === null ? null : voters.lay(k);
    if (start === null || pixels === null) continue;
    const fit = fitMoffat(pixels, start, voters.optionsOf(k, photonFactor));
    if (fit !== null && fit.major < WIDEST * pixels.radiusPx) fits.set(k, fit);
  }

  const { xx, xy, yy } = setting.shape;
  const isDrawnOut = Math.hypot(xx - yy, 2 * xy) > SPLIT_ABOVE * (xx + yy);
  const collector = makeCoreCollector(isDrawnOut, setting.widthPx, photonFactor);
  let meanStars: ReadonlyMap<number, FittedStar> = fits;
  let toMean = 1;
  if (mean !== null) {
    meanStars = mean.stars;
    const top = moffatHeight(mean.shape, nodes, 0, 0);
    for (const [k, star] of mean.joint) {
      const fitted = mean.stars.get(k);
      if (fitted === undefined) continue;
      const model = placeJointStar(star, nodes, mean.shape);
      collectResiduals(collector, model, fitted, fitted.peak * top, looks[k].noise, JOINT_OWN);
    }
    toMean = meanOverSingle(setting, mean, fits, top, looks, photonFactor);
  } else {
    for (const k of singleStars(calibrators, fits, photonFactor)) {
      const star = fits.get(k);
      if (star === undefined) continue;
      const look = looks[k];
      openWindow(setting, look.source, star.x + 1, star.y + 1, 1.3 * star.major + 1);
      collectCore(collector, setting.window, star, nodes, look.pedestal);
    }
  }
  const correction = coreCorrection(collector, roundModel(mean?.widthPx ?? setting.widthPx, gamma, nodes));
  const widthFactor = toMean * Math.sqrt(correction.major * correction.minor);
  const profileError =
    mean?.widthError ?? (common === null ? 0 : common.gammaError * widthPerGamma(common.votes));
  const sharedError = Math.hypot(profileError, correction.error);
  return { fits, gamma, order, correction, photonFactor, meanStars, widthFactor, sharedError };
}

/** By which part of it a fitted width moves as the exponent held grows by one: median over the votes. */
function widthPerGamma(votes: readonly MoffatVote[]): number {
  const parts = votes.map(({ shape: { a, b, c }, slopes }) =>
    // ln width = -ln(a c - b^2) / 4 + ...
    Math.abs((c * slopes[2] - 2 * b * slopes[3] + a * slopes[4]) / (4 * (a * c - b * b))),
  );
  return parts.length === 0 ? 0 : medianInPlace(parts);
}

/** The best of the chosen stars that can say something of the profile. */
function clearStars(looks: readonly FirstLook[], chosen: ArrayLike<number>): number[] {
  const clear = Array.from(chosen).filter((k) => {
    const { flags, moments } = looks[k];
    return flags === 0 && moments !== null && moments.flux > VOTER_SNR * moments.fluxError;
  });
  return clear.slice(0, MOST_VOTERS);
}

/** Whether the smallest circle of a fit reaches beyond the core, for which it then holds too few pixels. */
function isBadlySampled({ widthPx, isMosaic }: FrameSetting): boolean {
  return widthPx > NARROWEST_MEAN_PX && CORE_RADIUS * widthPx < smallestRadius(isMosaic);
}

/**
 * Width of the mean star over that of the same stars fitted one by one, drawn towards 1 as far as its own error leaves it open: single fits stray from it as their circle reaches beyond the core.
 */
function meanOverSingle(
  setting: FrameSetting,
  mean: MeanStar,
  fits: ReadonlyMap<number, MoffatFit>,
  top: number,
  looks: readonly FirstLook[],
  photonFactor: number,
): number {
  let sum = 0;
  let weights = 0;
  for (const [k, { peak }] of mean.stars) {
    const star = fits.get(k);
    if (star === undefined) continue;
    const weight = starPrecision(peak * top, looks[k].noise, photonFactor);
    sum += weight * Math.log(mean.widthPx / Math.sqrt(star.major * star.minor));
    weights += weight;
  }
  if (!(weights > 0)) return 1;
  const expected = STRAY * (smallestRadius(setting.isMosaic) / (CORE_RADIUS * mean.widthPx) - 1);
  return Math.exp((sum / weights) * (expected ** 2 / (expected ** 2 + mean.widthError ** 2)));
}

/**
 * The calibrators whose residuals look like everybody's: an unresolved pair fits its profile much worse (part of its light, squared, beyond photon
 * noise), and a single one among a hundred would bend the mean.
 */
function singleStars(
  calibrators: readonly number[],
  fits: ReadonlyMap<number, MoffatFit>,
  photonFactor: number,
): readonly number[] {
  const fitted = calibrators.filter((k) => fits.has(k));
  const misfit = fitted.map((k) => {
    const star = fits.get(k);
    return star === undefined ? NaN : (star.excessFactor - photonFactor) / star.peak;
  });
  if (fitted.length < 6) return fitted;
  const typical = medianInPlace(misfit);
  const spread = 1.4826 * medianInPlace(misfit.map((m) => Math.abs(m - typical)));
  return fitted.filter((_, i) => misfit[i] < typical + ODD_ONE * spread);
}

function excessOf(stars: readonly MoffatVote[]): number {
  const factors = stars.map((star) => star.excessFactor).filter((f) => Number.isFinite(f));
  return factors.length > 0 ? Math.max(0, medianInPlace(factors)) : 0;
}

/** Height of a round star of the frame's width against the distance in half-widths on the sensor. */
function roundModel(widthPx: number, gamma: number, nodes: Float64Array): (u: number) => number {
  const optical = Math.sqrt(Math.max(0.2, widthPx ** 2 - (nodes.length > 3 ? 0.46 : 0)));
  const k = 4 / optical ** 2;
  const shape: MoffatShape = { a: k, b: 0, c: k, gamma };
  const top = moffatHeight(shape, nodes, 0, 0);
  const half = widthOnSensor(shape, nodes, 0.39, widthPx) / 2;
  const c = Math.cos(0.39);
  const s = Math.sin(0.39);
  return (u) => moffatHeight(shape, nodes, u * half * c, u * half * s) / top;
}
