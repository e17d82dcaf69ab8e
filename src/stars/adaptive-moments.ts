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
/** The weight never gets narrower than this variance (px^2): sums over pixels would no longer follow a narrower one. */
const NARROWEST_WEIGHT = 1.1;

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
  let { x, y } = start;
  let { xx, xy, yy } = start.shape;
  const startSigma = Math.sqrt((xx + yy) / 2);
  const limit = Math.min(window.width, window.height);
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration += 1) {
    const weight = widened(xx, xy, yy);
    const sums = weightedSums(window, x, y, weight, pedestal);
    if (sums === null || !(sums.s > 0)) return null;
    const dx = sums.sx / sums.s;
    const dy = sums.sy / sums.s;
    const star = unweighted(
      { xx: sums.sxx / sums.s - dx * dx, xy: sums.sxy / sums.s - dx * dy, yy: sums.syy / sums.s - dy * dy },
      weight,
    );
    if (star === null) return null;
    // The weighted mean moves less than the star does, by the ratio of product to star variance.
    const boost = (star.xx + star.yy) / (weight.xx + weight.yy) + 1;
    x += Math.max(-1, Math.min(1, boost * dx));
    y += Math.max(-1, Math.min(1, boost * dy));
    const change =
      Math.max(Math.abs(star.xx - xx), Math.abs(star.yy - yy), Math.abs(star.xy - xy)) / (xx + yy);
    // A first guess far off is approached in bounds.
    const growth = Math.min(1, (3 * (xx + yy)) / (star.xx + star.yy));
    xx = star.xx * growth;
    xy = star.xy * growth;
    yy = star.yy * growth;
    if (4 * Math.sqrt((xx + yy) / 2) > limit) return null;
    if (Math.hypot(x - start.x, y - start.y) > Math.max(2, 2 * startSigma)) return null;
    if (change < 3e-4 && Math.hypot(dx, dy) < 2e-3) {
      if (xx + yy < 0.16) return null;
      return describe(window, x, y, { xx, xy, yy }, widened(xx, xy, yy), pedestal, photonFactor);
    }
  }
  return null;
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
  const sums = weightedSums(window, x, y, weight, pedestal);
  if (sums === null || !(sums.s > 0)) return { flux: 0, moments: null };
  const dx = sums.sx / sums.s;
  const dy = sums.sy / sums.s;
  const product = {
    xx: sums.sxx / sums.s - dx * dx,
    xy: sums.sxy / sums.s - dx * dy,
    yy: sums.syy / sums.s - dy * dy,
  };
  // A star of the weight's own shape shows half of its flux under it.
  return { flux: 2 * sums.s, moments: unweighted(product, weight) };
}

function widened(xx: number, xy: number, yy: number): Tensor {
  const smaller = (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy);
  const more = Math.max(0, NARROWEST_WEIGHT - smaller);
  return { xx: xx + more, xy, yy: yy + more };
}

/** Variance of the star when star x weight has variance `product`: (product^-1 - weight^-1)^-1; null when there is none. */
function unweighted(product: Tensor, weight: Tensor): Tensor | null {
  const dp = product.xx * product.yy - product.xy * product.xy;
  const dw = weight.xx * weight.yy - weight.xy * weight.xy;
  if (!(dp > 0) || !(dw > 0)) return null;
  const a = product.yy / dp - weight.yy / dw;
  const b = -product.xy / dp + weight.xy / dw;
  const c = product.xx / dp - weight.xx / dw;
  const d = a * c - b * b;
  if (a > 0 && c > 0 && d > 0) return { xx: c / d, xy: -b / d, yy: a / d };
  // Wider than the weight can tell: a plain doubling leads on.
  return { xx: 2 * product.xx, xy: 2 * product.xy, yy: 2 * product.yy };
}

interface Sums {
  readonly s: number;
  readonly sx: number;
  readonly sy: number;
  readonly sxx: number;
  readonly sxy: number;
  readonly syy: number;
}

/** Columns and rows of the window within four sd of (x, y), and the inverse of the weight's tensor. */
function weightBox(window: StarWindow, x: number, y: number, { xx, xy, yy }: Tensor) {
  const determinant = xx * yy - xy * xy;
  const reachX = 4 * Math.sqrt(xx);
  const reachY = 4 * Math.sqrt(yy);
  return {
    determinant,
    a: yy / determinant,
    b: -xy / determinant,
    c: xx / determinant,
    i0: Math.max(0, Math.ceil(x - reachX - window.x0)),
    i1: Math.min(window.width - 1, Math.floor(x + reachX - window.x0)),
    j0: Math.max(0, Math.ceil(y - reachY - window.y0)),
    j1: Math.min(window.height - 1, Math.floor(y + reachY - window.y0)),
  };
}

function weightedSums(
  window: StarWindow,
  x: number,
  y: number,
  weight: Tensor,
  pedestal: number,
): Sums | null {
  const { kernels, valuesAt, usableAt, numbers, numbersAt } = window.desk;
  const { determinant, a, b, c, i0, i1, j0, j1 } = weightBox(window, x, y, weight);
  if (!(determinant > 0)) return null;
  kernels.momentSums(
    valuesAt,
    usableAt,
    window.width,
    i0,
    i1,
    j0,
    j1,
    x - window.x0,
    y - window.y0,
    a,
    b,
    c,
    pedestal,
    numbersAt,
  );
  return {
    s: numbers[0],
    sx: numbers[1],
    sy: numbers[2],
    sxx: numbers[3],
    sxy: numbers[4],
    syy: numbers[5],
  };
}

function describe(
  window: StarWindow,
  x: number,
  y: number,
  star: Tensor,
  weight: Tensor,
  pedestal: number,
  photonFactor: number,
): AdaptiveMoments {
  const { xx: mxx, xy: mxy, yy: myy } = weight;
  const { kernels, valuesAt, usableAt, numbers, numbersAt } = window.desk;
  const { determinant, a, b, c, i0, i1, j0, j1 } = weightBox(window, x, y, weight);
  const half = (mxx + myy) / 2;
  const starHalf = (star.xx + star.yy) / 2;
  // Mean variance of weight x star.
  const product = (half * starHalf) / (half + starHalf);
  // The centre's own freedom takes the part of dx r^2 that a shift would make: 4 product dx for a Gaussian.
  kernels.momentErrorSums(
    valuesAt,
    usableAt,
    window.width,
    i0,
    i1,
    j0,
    j1,
    x - window.x0,
    y - window.y0,
    a,
    b,
    c,
    pedestal,
    window.noise * window.noise,
    photonFactor,
    product,
    numbersAt,
  );
  const s = numbers[0];
  const weights = numbers[1];
  const noiseFlux = numbers[2];
  const noiseSize = numbers[3];
  const noiseSkew = numbers[4];
  const skewX = numbers[5];
  const skewY = numbers[6];
  // Flux of a Gaussian star from its weighted sum, times the part of the weight that masked pixels left uncovered.
  const together = (star.xx + mxx) * (star.yy + myy) - (star.xy + mxy) ** 2;
  const perSum = (Math.sqrt(together / determinant) * 2 * Math.PI * Math.sqrt(determinant)) / weights;
  const cube = starHalf ** 1.5;
  return {
    x,
    y,
    mxx: star.xx,
    mxy: star.xy,
    myy: star.yy,
    // Star = (product^-1 - weight^-1)^-1: a change of the product acts by (star / product)^2, 4 when the weight matches.
    mError: (((star.xx + star.yy) / (mxx + myy) + 1) ** 2 * Math.sqrt(noiseSize)) / s,
    flux: s * perSum,
    fluxError: Math.sqrt(noiseFlux) * perSum,
    skewX: skewX / s / cube,
    skewY: skewY / s / cube,
    skewError: Math.sqrt(noiseSkew) / s / cube,
  };
}
