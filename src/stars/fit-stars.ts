import { medianInPlace } from '../stats/median.js';
import { weightedMedian } from '../stats/weighted-median.js';
import {
  collectCore,
  coreCorrection,
  makeCoreCollector,
  type CoreCorrection,
  type FittedStar,
} from './core-correction.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameSetting } from './frame-setting.js';
import { fitMoffat, type MoffatFit } from './moffat-fit.js';
import { moffatAxes, moffatHeight, pixelNodes, widthOnSensor, type MoffatShape } from './moffat-profile.js';

/** One fitted star: widths on the sensor (px), before the frame's core correction. */
export interface StarFit extends FittedStar {
  readonly fit: MoffatFit;
}

/** All profile fits of a frame. */
export interface FrameFits {
  /** By position in the list of first looks. */
  readonly fits: ReadonlyMap<number, StarFit>;
  readonly beta: number;
  readonly correction: CoreCorrection;
  /** ADU^2 of variance per ADU of starlight. */
  readonly photonFactor: number;
}

const BETA_STARS = 40;
/** Flat-weight Moffat exponent of an ideal long exposure: taken when a frame's stars cannot tell. */
const SEEING_BETA = 3.5;

/**
 * Fit the chosen stars: the exponent free on the best ones, its median for all; then, from how the good ones differ from the fit, the factors to the light's own width at half maximum.
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
  const nodes = pixelNodes(
    setting.widthPx < 1.9 ? 4 : setting.widthPx < 3 ? 3 : setting.widthPx < 4.5 ? 2 : 1,
  );
  const givenFactor = electronsPerAdu !== null && electronsPerAdu > 0 ? 1 / electronsPerAdu : null;
  const trials = calibrators
    .slice(0, BETA_STARS)
    .map((k) => fitOne(setting, looks[k], nodes, SEEING_BETA, true, givenFactor ?? 0));
  const sound = trials.filter((trial): trial is StarFit => trial !== null && trial.fit.converged);
  const beta = commonBeta(sound);
  const photonFactor = givenFactor ?? excessOf(sound);

  const fits = new Map<number, StarFit>();
  for (let c = 0; c < chosen.length; c += 1) {
    const star = fitOne(setting, looks[chosen[c]], nodes, beta, false, photonFactor);
    if (star !== null) fits.set(chosen[c], star);
  }

  const collector = makeCoreCollector();
  const ratios: number[] = [];
  for (const k of calibrators) {
    const star = fits.get(k);
    if (star === undefined) continue;
    const look = looks[k];
    openWindow(setting, look.source, star.x + 1, star.y + 1, 1.3 * star.major + 1);
    collectCore(collector, setting.window, star, nodes, look.pedestal);
    ratios.push(star.major / star.minor);
  }
  const elongation = ratios.length > 0 ? medianInPlace(ratios) : 1;
  const round = roundModel(setting.widthPx, beta, nodes);
  const correction = coreCorrection(collector, round, elongation > 1.12);
  return { fits, beta, correction, photonFactor };
}

function fitOne(
  setting: FrameSetting,
  look: FirstLook,
  nodes: Float64Array,
  beta: number,
  isBetaFree: boolean,
  photonFactor: number,
): StarFit | null {
  const { moments } = look;
  if (moments === null) return null;
  const half = (moments.mxx + moments.myy) / 2;
  const major = half + Math.hypot((moments.mxx - moments.myy) / 2, moments.mxy);
  const radiusPx = Math.max(2.3, 1.15 * 2.3548 * Math.sqrt(major));
  openWindow(setting, look.source, moments.x + 1, moments.y + 1, radiusPx + 1);
  const fit = fitMoffat(
    setting.window,
    { ...moments, beta },
    { pedestal: look.pedestal, radiusPx, nodes, isBetaFree, photonFactor },
  );
  if (fit === null) return null;
  const axes = moffatAxes(fit.shape);
  const isPoint = nodes.length === 3;
  const onSensor = (angle: number, width: number): number =>
    isPoint ? width : widthOnSensor(fit.shape, nodes, angle, width);
  const widths = [onSensor(axes.angle, axes.major), onSensor(axes.angle + Math.PI / 2, axes.minor)];
  if (!(widths[0] < 6 * radiusPx)) return null;
  return {
    fit,
    x: fit.x,
    y: fit.y,
    peak: fit.peak,
    shape: fit.shape,
    major: widths[0],
    minor: widths[1],
    angle: axes.angle,
  };
}

function commonBeta(stars: readonly StarFit[]): number {
  const beta = weightedMedian(
    stars.map((star) => star.shape.beta),
    stars.map((star) => 1 / (star.fit.betaError ** 2 + (0.1 * star.shape.beta) ** 2)),
  );
  return stars.length < 4 || Number.isNaN(beta) ? SEEING_BETA : Math.max(1.6, Math.min(20, beta));
}

function excessOf(stars: readonly StarFit[]): number {
  const factors = stars.map((star) => star.fit.excessFactor).filter((f) => Number.isFinite(f));
  return factors.length > 0 ? Math.max(0, medianInPlace(factors)) : 0;
}

/** Height of a round star of the frame's width against the distance in half-widths on the sensor. */
function roundModel(widthPx: number, beta: number, nodes: Float64Array): (u: number) => number {
  const k = (2 ** (1 / beta) - 1) / (widthPx / 2) ** 2;
  const shape: MoffatShape = { a: k, b: 0, c: k, beta };
  const top = moffatHeight(shape, nodes, 0, 0);
  const half = widthOnSensor(shape, nodes, 0.39, widthPx) / 2;
  const c = Math.cos(0.39);
  const s = Math.sin(0.39);
  return (u) => moffatHeight(shape, nodes, u * half * c, u * half * s) / top;
}
