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

const MAX_ITERATIONS = 40;

/**
 * Adaptive second moments: those of the elliptical Gaussian that, used as weight, matches the star (Bernstein & Jarvis 2002, section 3;
 * Hirata & Seljak 2003, section 2). For a Gaussian star they are its variances, pixel included.
 *
 * `pedestal` (ADU above the window's sky) is taken off; `variance` and `photonFactor` describe a pixel's noise as in `fitMoffat`.
 * The third moments are sum(w I dx r^2) / sum(w I) in the weight's own scale (Okura & Futamase 2009 use such weighted octopoles).
 * Null when the iteration leaves the window, collapses below a pixel's own width or does not settle.
 */
export function measureMoments(
  window: StarWindow,
  start: { readonly x: number; readonly y: number; readonly sigmaPx: number },
  pedestal: number,
  photonFactor: number,
): AdaptiveMoments | null {
  let { x, y } = start;
  let mxx = start.sigmaPx ** 2;
  let myy = mxx;
  let mxy = 0;
  const limit = Math.min(window.width, window.height);
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration += 1) {
    const sums = weightedSums(window, x, y, mxx, mxy, myy, pedestal);
    if (sums === null || !(sums.s > 0)) return null;
    const dx = sums.sx / sums.s;
    const dy = sums.sy / sums.s;
    // The product of two equal Gaussians has half the variance: double it. The centre's step doubles likewise.
    const xx = 2 * (sums.sxx / sums.s - dx * dx);
    const xy = 2 * (sums.sxy / sums.s - dx * dy);
    const yy = 2 * (sums.syy / sums.s - dy * dy);
    x += 2 * dx;
    y += 2 * dy;
    const change = Math.max(Math.abs(xx - mxx), Math.abs(yy - myy), Math.abs(xy - mxy)) / (mxx + myy);
    // Over-relaxed: near the solution a plain step covers about half of the way.
    const stride = iteration < 2 ? 1 : 1.6;
    const next = [mxx + stride * (xx - mxx), mxy + stride * (xy - mxy), myy + stride * (yy - myy)];
    if (next[0] > 0.08 && next[2] > 0.08 && next[0] * next[2] - next[1] ** 2 > 0.006) [mxx, mxy, myy] = next;
    else [mxx, mxy, myy] = [Math.max(xx, 0.09), xy, Math.max(yy, 0.09)];
    const trace = mxx + myy;
    if (!(mxx * myy - mxy * mxy > 0.006) || 4 * Math.sqrt(trace / 2) > limit) return null;
    if (Math.hypot(x - start.x, y - start.y) > Math.max(2.5, 2.5 * start.sigmaPx)) return null;
    if (change < 2e-4 && Math.hypot(dx, dy) < 2e-3) {
      return describe(window, x, y, mxx, mxy, myy, pedestal, photonFactor);
    }
  }
  return null;
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
  mxx: number,
  mxy: number,
  myy: number,
  pedestal: number,
  photonFactor: number,
): AdaptiveMoments {
  const determinant = mxx * myy - mxy * mxy;
  const a = myy / determinant;
  const b = -mxy / determinant;
  const c = mxx / determinant;
  const half = (mxx + myy) / 2;
  const variance = window.noise * window.noise;
  let s = 0;
  let weights = 0;
  let squares = 0;
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
      squares += w * w;
      noiseFlux += noise;
      noiseSize += noise * (r2 / 2 - half / 2) ** 2;
      // The centre's own freedom takes the part of dx r^2 that a shift would make: 2 half dx for a Gaussian.
      noiseSkew += noise * (dx * (r2 - 2 * half)) ** 2;
      skewX += w * v * dx * r2;
      skewY += w * v * dy * r2;
    }
  }
  const cube = half ** 1.5;
  return {
    x,
    y,
    mxx,
    mxy,
    myy,
    // Doubled for the product of weight and star, and doubled again because the weight follows the star.
    mError: (4 * Math.sqrt(noiseSize)) / s,
    flux: (s * weights) / squares,
    fluxError: (Math.sqrt(noiseFlux) * weights) / squares,
    skewX: skewX / s / cube,
    skewY: skewY / s / cube,
    skewError: Math.sqrt(noiseSkew) / s / cube,
  };
}
