import { choleskyInPlace, choleskySolveInPlace } from '../stats/index.js';
import { moffatHeight, type MoffatShape } from './moffat-profile.js';
import type { StarWindow } from './star-window.js';

/** A fitted star, as the correction needs it: position 0-based, widths on the sensor (px), angle of the long axis (radians). */
export interface FittedStar {
  readonly x: number;
  readonly y: number;
  /** Height before the pixel, ADU. */
  readonly peak: number;
  readonly shape: MoffatShape;
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
}

/**
 * How the stars of a frame differ from the fitted Moffat: (data - model) / peak as an even polynomial of p, q, the distances along the long and short axis in
 * units of the fit's own half-maximum ellipse. Sums of its normal equations.
 *
 * The widths that the frame reports are then those at half maximum of the light itself, whatever its profile (Kolmogorov seeing, a defocused disc, a trail),
 * not those of the Moffat that comes nearest.
 */
export interface CoreCollector {
  readonly terms: readonly (readonly [number, number])[];
  /** Normal equations of the terms and, last, of what seeing adds to a Moffat (`seeingResidual`). */
  readonly normal: Float64Array;
  readonly right: Float64Array;
  /** Weighted sum of squared residuals and number of pixels. */
  squares: number;
  pixels: number;
  stars: number;
}

/** Pixels within this many half-widths take part. */
const REACH = 1.8;
const ORDER_SPLIT = 4;
const ORDER_ROUND = 7;
/** The steep rim of a wide defocused image asks for more terms, and has the pixels for them. */
const ORDER_RIM = 18;
const RIM_ABOVE_PX = 10;

/**
 * Chebyshev coefficients on squared distances 0..REACH^2 of what a long exposure through the atmosphere (Kolmogorov, transform of exp(-3.44 f^(5/3)): Fried 1966)
 * leaves over the Moffat fitted to it with equal weights out to 1.15 of its width; reproduced to 4e-6 of the peak. It widens the fit's half maximum by 0.4 %.
 */
const SEEING_RESIDUAL = [-5.9e-4, -1.4e-4, -7.8e-4, 1.29e-3, -6.3e-4, 1.9e-4, -4e-5, 1e-5];
/** Real star images lie between a Moffat (0) and pure seeing (1): where the stars cannot tell, the middle is taken. */
const SEEING_SHARE = 0.5;
const SEEING_SHARE_SD = 1;

/** Sum over pixels of (peak / noise)^2 below which chance rules the correction: a hundred stars of signal to noise 60, or thirty of 100. */
const LITTLE = 3e6;
/** How far, as a part of the peak, a profile is expected to stray from a Moffat in one term; less in higher ones. */
const PRIOR_SD = 0.05;

/** Chebyshev polynomial of order n on squared distances 0..REACH^2. */
function smooth(order: number, square: number): number {
  const t = (2 * square) / (REACH * REACH) - 1;
  let before = 1;
  let now = t;
  if (order === 0) return 1;
  for (let k = 1; k < order; k += 1) [before, now] = [now, 2 * t * now - before];
  return now;
}

function seeingResidual(square: number): number {
  let sum = 0;
  for (let order = 0; order < SEEING_RESIDUAL.length; order += 1)
    sum += SEEING_RESIDUAL[order] * smooth(order, square);
  return sum;
}

/** `splitAxes` lets the two axes differ (trailed stars); otherwise the residual depends on the distance alone. `widthPx`: of the frame's star image. */
export function makeCoreCollector(splitAxes: boolean, widthPx = 0): CoreCollector {
  const terms: [number, number][] = [];
  const roundOrder = widthPx > RIM_ABOVE_PX ? ORDER_RIM : ORDER_ROUND;
  for (let total = 0; total <= (splitAxes ? ORDER_SPLIT : roundOrder); total += 1) {
    if (!splitAxes) terms.push([total, 0]);
    else for (let j = 0; j <= total; j += 1) terms.push([total - j, j]);
  }
  const n = terms.length + 1;
  return {
    terms,
    normal: new Float64Array(n * n),
    right: new Float64Array(n),
    squares: 0,
    pixels: 0,
    stars: 0,
  };
}

export function collectCore(
  collector: CoreCollector,
  window: StarWindow,
  star: FittedStar,
  nodes: Float64Array,
  pedestal: number,
): void {
  const { terms, normal, right } = collector;
  const n = terms.length + 1;
  const isSplit = terms[n - 2][1] > 0;
  const c = Math.cos(star.angle);
  const s = Math.sin(star.angle);
  const top = star.peak * moffatHeight(star.shape, nodes, 0, 0);
  // A star counts by its signal to noise, levelled off where photon noise and not the sky limits it.
  const ratio = top / window.noise;
  const weight = (ratio * ratio) / (1 + (ratio / 100) ** 2);
  const basis = new Float64Array(n);
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - star.y;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - star.x;
      const k = j * window.width + i;
      if (!window.usable[k]) continue;
      const p = ((c * dx + s * dy) / (star.major / 2)) ** 2;
      const q = ((c * dy - s * dx) / (star.minor / 2)) ** 2;
      if (p + q > REACH * REACH) continue;
      const residual =
        (window.values[k] - pedestal - star.peak * moffatHeight(star.shape, nodes, dx, dy)) / top;
      collector.squares += weight * residual * residual;
      collector.pixels += 1;
      for (let t = 0; t < n; t += 1) {
        basis[t] =
          t === n - 1
            ? seeingResidual(p + q)
            : isSplit
              ? smooth(terms[t][0], p) * smooth(terms[t][1], q)
              : smooth(terms[t][0], p + q);
        right[t] += weight * basis[t] * residual;
        for (let u = 0; u <= t; u += 1) normal[t * n + u] += weight * basis[t] * basis[u];
      }
    }
  }
  collector.stars += 1;
}

/** Factors by which the fitted widths become those of the light itself, and the mean profile that says so. */
export interface CoreCorrection {
  readonly major: number;
  readonly minor: number;
  /** Light at the centre over the fitted model's. */
  readonly centre: number;
  /** True when the light has a hole in the middle: a defocused star of an obstructed telescope. */
  readonly isHollow: boolean;
  /** Mean height at distance u (fitted half-widths) over the fitted model's centre, between the two axes; beyond `REACH` the model's. */
  readonly heightAt: (u: number) => number;
}

/**
 * The correction from what was collected; neutral when there are fewer than `minStars` stars.
 *
 * `model(u)` is the height of the fitted profile at distance u, 1 at the centre.
 */
export function coreCorrection(
  collector: CoreCollector,
  model: (u: number) => number,
  minStars = 3,
): CoreCorrection {
  const { terms } = collector;
  const n = terms.length;
  const neutral = { major: 1, minor: 1, centre: 1, isHollow: false, heightAt: model };
  if (collector.stars < minStars) return neutral;
  const share = seeingShare(collector);
  const factor = new Float64Array(n * n);
  const coefficients = new Float64Array(n);
  // Weights are inverse variances: a prior keeps what few or faint stars cannot tell near zero.
  for (let t = 0; t < n; t += 1) {
    for (let u = 0; u <= t; u += 1) factor[t * n + u] = collector.normal[t * (n + 1) + u];
    factor[t * n + t] += ((1 + terms[t][0] + terms[t][1]) / PRIOR_SD) ** 2;
    coefficients[t] = collector.right[t] - share * collector.normal[n * (n + 1) + t];
  }
  const right = Float64Array.from(coefficients);
  if (!choleskyInPlace(factor, n)) return neutral;
  choleskySolveInPlace(factor, n, coefficients);
  shrink(collector, coefficients, right);
  const isSplit = terms[n - 1][1] > 0;
  const residual = (p: number, q: number): number => {
    let sum = share * seeingResidual(p + q);
    for (let t = 0; t < n; t += 1) {
      sum +=
        coefficients[t] *
        (isSplit ? smooth(terms[t][0], p) * smooth(terms[t][1], q) : smooth(terms[t][0], p + q));
    }
    return sum;
  };
  const along = (u: number): number => model(u) + residual(u * u, 0);
  const across = (u: number): number => model(u) + residual(0, u * u);
  const between = (u: number): number => model(u) + (u < REACH ? residual((u * u) / 2, (u * u) / 2) : 0);
  const centre = along(0);
  let top = centre;
  for (let u = 0; u < REACH; u += 0.05) top = Math.max(top, between(u));
  return {
    major: halfRadius(along, top),
    minor: halfRadius(across, top),
    centre,
    isHollow: centre < 0.85 * top,
    heightAt: between,
  };
}

/** How much of what seeing adds to a Moffat the frame's stars show: the one direction in which real images are known to differ is not left to chance. */
function seeingShare(collector: CoreCollector): number {
  const last = collector.right.length - 1;
  const variance = collector.squares / Math.max(1, collector.pixels - last);
  const own = collector.normal[(last + 1) * (last + 1) - 1] / variance;
  const prior = 1 / SEEING_SHARE_SD ** 2;
  return (collector.right[last] / variance + prior * SEEING_SHARE) / (own + prior);
}

/**
 * Scale the coefficients down by what chance alone would explain of them (James & Stein 1961, positive part): fully when few or faint stars speak, hardly when a
 * hundred bright ones do, whose chance errors are small beside the misfit of a Moffat.
 */
function shrink(collector: CoreCollector, coefficients: Float64Array, right: Float64Array): void {
  const n = coefficients.length;
  let explained = 0;
  for (let t = 0; t < n; t += 1) explained += coefficients[t] * right[t];
  const perPixel = (collector.squares - explained) / Math.max(1, collector.pixels - n);
  const factor =
    explained > 0
      ? Math.max(0, 1 - (Math.min(1, LITTLE / collector.normal[0]) * n * perPixel) / explained)
      : 0;
  for (let t = 0; t < n; t += 1) coefficients[t] *= factor;
}

/** Outermost u at which the height passes half of `top`; 1 when it does not within reach. */
function halfRadius(height: (u: number) => number, top: number): number {
  const step = 0.02;
  let u = REACH - 0.1;
  while (u > 0.3 && height(u) < top / 2) u -= step;
  if (u <= 0.3 || u >= REACH - 0.1) return 1;
  const f0 = height(u) - top / 2;
  const f1 = height(u + step) - top / 2;
  return u + (step * f0) / (f0 - f1);
}
