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
    const sums = weightedSums(window, x, y, weight.xx, weight.xy, weight.yy, pedestal);
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
  s: number;
  sx: number;
  sy: number;
  sxx: number;
  sxy: number;
  syy: number;
}

const sums: Sums = { s: 0, sx: 0, sy: 0, sxx: 0, sxy: 0, syy: 0 };

function weightedSums(
  window: StarWindow,
  x: number,
  y: number,
  mxx: number,
  mxy: number,
  myy: number,
  pedestal: number,
): Sums | null {
  const determinant = mxx * myy - mxy * mxy;
  if (!(determinant > 0)) return null;
  const a = myy / determinant;
  const b = -mxy / determinant;
  const c = mxx / determinant;
  const reachX = 4 * Math.sqrt(mxx);
  const reachY = 4 * Math.sqrt(myy);
  const i0 = Math.max(0, Math.ceil(x - reachX - window.x0));
  const i1 = Math.min(window.width - 1, Math.floor(x + reachX - window.x0));
  const j0 = Math.max(0, Math.ceil(y - reachY - window.y0));
  const j1 = Math.min(window.height - 1, Math.floor(y + reachY - window.y0));
  let s = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let j = j0; j <= j1; j += 1) {
    const dy = window.y0 + j - y;
    const row = j * window.width;
    for (let i = i0; i <= i1; i += 1) {
      if (!window.usable[row + i]) continue;
      const dx = window.x0 + i - x;
      const q = a * dx * dx + 2 * b * dx * dy + c * dy * dy;
      if (q > 16) continue;
      const v = Math.exp(-0.5 * q) * (window.values[row + i] - pedestal);
      s += v;
      sx += v * dx;
      sy += v * dy;
      sxx += v * dx * dx;
      sxy += v * dx * dy;
      syy += v * dy * dy;
    }
  }
  sums.s = s;
  sums.sx = sx;
  sums.sy = sy;
  sums.sxx = sxx;
  sums.sxy = sxy;
  sums.syy = syy;
  return sums;
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
  const determinant = mxx * myy - mxy * mxy;
  const a = myy / determinant;
  const b = -mxy / determinant;
  const c = mxx / determinant;
  const half = (mxx + myy) / 2;
  const starHalf = (star.xx + star.yy) / 2;
  // Mean variance of weight x star.
  const product = (half * starHalf) / (half + starHalf);
  const variance = window.noise * window.noise;
  let s = 0;
  let weights = 0;
  let noiseFlux = 0;
  let noiseSize = 0;
  let noiseSkew = 0;
  let skewX = 0;
  let skewY = 0;
  const reachX = 4 * Math.sqrt(mxx);
  const reachY = 4 * Math.sqrt(myy);
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - y;
    if (Math.abs(dy) > reachY) continue;
    for (let i = 0; i < window.width; i += 1) {
      const k = j * window.width + i;
      const dx = window.x0 + i - x;
      if (!window.usable[k] || Math.abs(dx) > reachX) continue;
      const q = a * dx * dx + 2 * b * dx * dy + c * dy * dy;
      if (q > 16) continue;
      const w = Math.exp(-0.5 * q);
      const v = window.values[k] - pedestal;
      const noise = w * w * (variance + photonFactor * Math.max(0, v));
      const r2 = dx * dx + dy * dy;
      s += w * v;
      weights += w;
      noiseFlux += noise;
      noiseSize += noise * (r2 / 2 - product) ** 2;
      // The centre's own freedom takes the part of dx r^2 that a shift would make: 4 product dx for a Gaussian.
      noiseSkew += noise * (dx * (r2 - 4 * product)) ** 2;
      skewX += w * v * dx * r2;
      skewY += w * v * dy * r2;
    }
  }
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
