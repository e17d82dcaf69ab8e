import type { StarWindow } from './star-window.js';

/** Gaussian-weighted second moments of one star and what follows from the same weight; pixels, ADU. */
export interface AdaptiveMoments {
  /** 0-based position in the plane. */
  readonly x: number;
  readonly y: number;
  readonly mxx: number;
  readonly mxy: number;
  readonly myy: number;
  /** Standard error of (mxx + myy) / 2. */
  readonly mError: number;
  /** Flux of the Gaussian that matches the star. */
  readonly flux: number;
  /** Standard error of that flux (the matched filter's noise). */
  readonly fluxError: number;
  /** Third moments, spin 1, over sigma^3; and their standard error. */
  readonly skewX: number;
  readonly skewY: number;
  readonly skewError: number;
}

/** A symmetric 2 x 2 tensor, pixel^2. */
export interface Tensor {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

const MAX_ITERATIONS = 30;
/** The iteration rests when a step changes the variances by less than this part of their sum, and the place by less than this (px). */
const REST_CHANGE = 3e-4;
const REST_SHIFT = 2e-3;
/** The weight never gets narrower than this variance (px^2): sums over pixels would no longer follow a narrower one. */
const NARROWEST_WEIGHT = 1.1;
/** Sum of both variances (px^2) under which there is no star but a pixel. */
const NARROWEST_STAR = 0.16;

/**
 * Adaptive second moments: those of the elliptical Gaussian that, used as weight, matches the star (Bernstein & Jarvis 2002, section 3;
 * Hirata & Seljak 2003, section 2). For a Gaussian star they are its variances, pixel included.
 *
 * `pedestal` (ADU above the window's sky) is taken off; `photonFactor` and the window's noise describe a pixel's noise as in `fitMoffat`.
 * A star narrower than the narrowest weight keeps that weight, whose part is taken out by the product rule of Gaussians.
 * The third moments are sum(w I dx r^2) / sum(w I) in the weight's own scale (Okura & Futamase 2009 use such weighted octopoles).
 * Null when the iteration leaves the window, collapses below a pixel's own width or does not settle.
 */
export function measureMoments(
  window: StarWindow,
  start: { readonly x: number; readonly y: number; readonly shape: Tensor },
  pedestal: number,
  photonFactor: number,
): AdaptiveMoments | null {
  const { x0, y0, width, height, noise, desk } = window;
  const { xx, xy, yy } = start.shape;
  const isSettled = desk.kernels.adaptiveMoments(
    desk.valuesAt,
    desk.usableAt,
    width,
    height,
    start.x - x0,
    start.y - y0,
    xx,
    xy,
    yy,
    NARROWEST_WEIGHT,
    MAX_ITERATIONS,
    REST_CHANGE,
    REST_SHIFT,
    Math.max(2, 2 * Math.sqrt((xx + yy) / 2)),
    Math.min(width, height) / 4,
    pedestal,
    noise * noise,
    photonFactor,
    desk.numbersAt,
  );
  return isSettled ? describe(desk.numbers, x0, y0) : null;
}

/**
 * Second moments (px^2) and flux (ADU) of what lies at 0-based (x, y) under one fixed Gaussian weight: a single step of `measureMoments`, rough but there even where the
 * iteration finds no Gaussian. Moments null where the light has no extent: one pixel, or none above the pedestal.
 */
export function momentsUnder(
  window: StarWindow,
  x: number,
  y: number,
  weight: Tensor,
  pedestal: number,
): { readonly flux: number; readonly moments: Tensor | null } {
  const { kernels, valuesAt, usableAt, numbers, numbersAt } = window.desk;
  const hasExtent = kernels.momentsUnder(
    valuesAt,
    usableAt,
    window.width,
    window.height,
    x - window.x0,
    y - window.y0,
    weight.xx,
    weight.xy,
    weight.yy,
    pedestal,
    numbersAt,
  );
  const sum = numbers[0];
  // A star of the weight's own shape shows half of its flux under it.
  return {
    flux: Math.max(0, 2 * sum),
    moments: hasExtent ? { xx: numbers[3], xy: numbers[4], yy: numbers[5] } : null,
  };
}

/** From what the kernel `adaptiveMoments` leaves, about (x0, y0). */
function describe(found: Float64Array, x0: number, y0: number): AdaptiveMoments | null {
  const xx = found[2];
  const xy = found[3];
  const yy = found[4];
  if (xx + yy < NARROWEST_STAR) return null;
  const weightXX = found[5];
  const weightXY = found[6];
  const weightYY = found[7];
  const s = found[8];
  const weights = found[9];
  const noiseFlux = found[10];
  const noiseSize = found[11];
  const noiseSkew = found[12];
  // Flux of a Gaussian star from its weighted sum, times the part of the weight that masked pixels left uncovered.
  const together = (xx + weightXX) * (yy + weightYY) - (xy + weightXY) ** 2;
  const perSum = (2 * Math.PI * Math.sqrt(together)) / weights;
  const cube = ((xx + yy) / 2) ** 1.5;
  return {
    x: found[0] + x0,
    y: found[1] + y0,
    mxx: xx,
    mxy: xy,
    myy: yy,
    // Star = (product^-1 - weight^-1)^-1: a change of the product acts by (star / product)^2, 4 when the weight matches.
    mError: (((xx + yy) / (weightXX + weightYY) + 1) ** 2 * Math.sqrt(noiseSize)) / s,
    flux: s * perSum,
    fluxError: Math.sqrt(noiseFlux) * perSum,
    skewX: found[13] / s / cube,
    skewY: found[14] / s / cube,
    skewError: Math.sqrt(noiseSkew) / s / cube,
  };
}
