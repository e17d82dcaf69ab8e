import { moffatHeight, type MoffatShape } from './moffat-profile.js';
import type { StarWindow } from './star-window.js';

/**
 * Collects how the stars of a frame differ from the fitted Moffat, as a function of the distance from the centre in units of the fit's own
 * half-maximum ellipse, separately along and across the long axis.
 *
 * The widths that the frame reports are then those at half maximum of the light itself, whatever its profile (Kolmogorov seeing, a defocused disc, a trail),
 * not those of the Moffat that comes nearest.
 */
export interface CoreCollector {
  /** Sums of weight x (data - model) / peak and of weight, per bin; along the long axis, across it. */
  readonly along: Float64Array;
  readonly alongWeight: Float64Array;
  readonly across: Float64Array;
  readonly acrossWeight: Float64Array;
  stars: number;
}

const BIN = 0.1;
const BINS = 24;

export function makeCoreCollector(): CoreCollector {
  return {
    along: new Float64Array(BINS),
    alongWeight: new Float64Array(BINS),
    across: new Float64Array(BINS),
    acrossWeight: new Float64Array(BINS),
    stars: 0,
  };
}

/** A fitted star, as the collector needs it: position 0-based, widths on the sensor (px), angle of the long axis (radians). */
export interface FittedStar {
  readonly x: number;
  readonly y: number;
  readonly peak: number;
  readonly shape: MoffatShape;
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
}

export function collectCore(
  collector: CoreCollector,
  window: StarWindow,
  star: FittedStar,
  nodes: Float64Array,
  pedestal: number,
): void {
  const c = Math.cos(star.angle);
  const s = Math.sin(star.angle);
  const top = star.peak * moffatHeight(star.shape, nodes, 0, 0);
  // A star counts by its signal to noise, levelled off where photon noise and not the sky limits it.
  const ratio = top / window.noise;
  const weight = (ratio * ratio) / (1 + (ratio / 100) ** 2);
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - star.y;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - star.x;
      const k = j * window.width + i;
      if (!window.usable[k]) continue;
      const p = (c * dx + s * dy) / (star.major / 2);
      const q = (c * dy - s * dx) / (star.minor / 2);
      const u = Math.sqrt(p * p + q * q);
      const bin = Math.floor(u / BIN);
      if (bin >= BINS) continue;
      const r =
        (window.values[k] - pedestal) / top - (star.peak * moffatHeight(star.shape, nodes, dx, dy)) / top;
      // Pixels near the centre belong to both.
      const share = u < 0.3 ? 0.5 : (p * p) / (u * u);
      collector.along[bin] += weight * share * r;
      collector.alongWeight[bin] += weight * share;
      collector.across[bin] += weight * (1 - share) * r;
      collector.acrossWeight[bin] += weight * (1 - share);
    }
  }
  collector.stars += 1;
}

/** Factors by which the fitted widths become those of the light itself. */
export interface CoreCorrection {
  readonly major: number;
  readonly minor: number;
  /** True when the light has a hole in the middle: a defocused star of an obstructed telescope. */
  readonly isHollow: boolean;
}

/**
 * The correction from what was collected; 1, 1 when there are fewer than `minStars` stars.
 *
 * `model(u)` is the height of the fitted profile at distance u (units of its half-maximum radius), 1 at the centre. When `splitAxes` is false both axes share one factor.
 */
export function coreCorrection(
  collector: CoreCollector,
  model: (u: number) => number,
  splitAxes: boolean,
  minStars = 3,
): CoreCorrection {
  if (collector.stars < minStars) return { major: 1, minor: 1, isHollow: false };
  const both = new Float64Array(BINS);
  const bothWeight = new Float64Array(BINS);
  for (let k = 0; k < BINS; k += 1) {
    both[k] = collector.along[k] + collector.across[k];
    bothWeight[k] = collector.alongWeight[k] + collector.acrossWeight[k];
  }
  const common = smooth(both, bothWeight);
  const along = splitAxes ? smooth(collector.along, collector.alongWeight) : common;
  const across = splitAxes ? smooth(collector.across, collector.acrossWeight) : common;
  const centre = 1 + common[0];
  let top = centre;
  for (let k = 0; k < BINS; k += 1) top = Math.max(top, model((k + 0.5) * BIN) + common[k]);
  return {
    major: halfRadius(model, along, top),
    minor: halfRadius(model, across, top),
    isHollow: centre < 0.85 * top,
  };
}

/** Mean residual per bin, lightly smoothed; the first bins together (few pixels fall so near a centre). */
function smooth(sum: Float64Array, weight: Float64Array): Float64Array {
  const result = new Float64Array(BINS);
  for (let k = 0; k < BINS; k += 1) {
    let s = 0;
    let w = 0;
    // The residual is even in u: near the centre average over a patch, elsewhere over three bins.
    const from = k <= 2 ? 0 : k - 1;
    const to = k <= 2 ? 3 : Math.min(BINS - 1, k + 1);
    for (let i = from; i <= to; i += 1) {
      s += sum[i];
      w += weight[i];
    }
    result[k] = w > 0 ? s / w : 0;
  }
  return result;
}

/** Outermost u at which model + residual passes half of `top`. */
function halfRadius(model: (u: number) => number, residual: Float64Array, top: number): number {
  const at = (u: number): number => {
    const position = Math.min(BINS - 1.001, Math.max(0, u / BIN - 0.5));
    const k = Math.floor(position);
    const t = position - k;
    return model(u) + residual[k] + t * (residual[k + 1] - residual[k]) - top / 2;
  };
  let u = 2;
  while (u > 0.3 && at(u) < 0) u -= 0.02;
  if (u <= 0.3 || u >= 2) return 1;
  // Secant within the last step.
  const f0 = at(u);
  const f1 = at(u + 0.02);
  return u + (0.02 * f0) / (f0 - f1);
}
