import { median } from 'simple-statistics';
import { robustLinearFit } from '../field/index.js';
import { bounded } from './confidence.js';
import { isDim, type FrameFacts } from './night-series.js';

/** Scatter of ln(beta) from frame to frame (simulated frames of 200 to 450 stars: 0.02 to 0.03), with what a halo may do to it. */
export const CORE_ERROR = 0.05;
/** A star narrower than this, pixels, has the pixel's own core. */
const LEAST_FWHM_PX = 1.9;
/** Rise of ln(beta) per rise of ln(FWHM) when defocus widens the star by 5 to 15 %. */
const SLOPE = 2.2;

/**
 * Rise of ln(beta), beta the exponent of the stars' Moffat profile, with defocus of added variance Q (see night/blur-response): a disc fills
 * the core and leaves the wings behind. A polynomial through the fits to rays through the pupil under Kolmogorov seeing, 0.02 off up to
 * Q = 0.35. A halo of dew or cloud lowers beta, and seeing leaves it alone: where light was lost it speaks of focus as half-flux
 * diameters do not.
 */
export function coreRise(added: number): number {
  return Math.min(1, 1.2 * added + 2 * added * added);
}

/**
 * ln(beta) of the dimmed, unshaken frames of a run over that of its clear ones; NaN for the other frames, and everywhere without three clear
 * frames or with stars under two pixels wide.
 */
export function coreShape(facts: readonly FrameFacts[]): number[] {
  const plain = facts.map(
    (f) =>
      (f.frame.beta ?? 0) > 0 && (f.frame.fwhm.px ?? 0) > LEAST_FWHM_PX && (f.trail?.strength ?? 0) < 0.09,
  );
  const logs = facts.map((f, k) => (plain[k] ? Math.log(f.frame.beta ?? NaN) : NaN));
  const clear = logs.filter((log, k) => Number.isFinite(log) && !isDim(facts[k].frame));
  if (clear.length < 3) return facts.map(() => NaN);
  const base = median(clear);
  return logs.map((log, k) => (isDim(facts[k].frame) ? log - base : NaN));
}

/**
 * Log-odds of defocus from the cores of dimmed frames: how far ln(beta) rises with their widening, as defocus makes it. 0 and less: it does
 * not. A halo hides part of the rise, so that a quarter of what defocus alone would give is the border.
 */
export function coreLogOdds(facts: readonly FrameFacts[]): number {
  const cores = coreShape(facts);
  const used = cores.flatMap((core, k) => (Number.isFinite(core) && facts[k].softness !== null ? [k] : []));
  if (used.length < 2) return 0;
  const fit = robustLinearFit(
    used.map((k) => [Math.log(Math.max(1, facts[k].softness ?? 1))]),
    used.map((k) => cores[k]),
    used.map(() => CORE_ERROR),
  );
  if (!fit) return 0;
  const share = fit.coefficients[0] / SLOPE;
  const error = Math.hypot(Math.sqrt(fit.covariance[0][0]) / SLOPE, 0.15);
  return bounded((1.5 * (share - 0.25)) / error, 4);
}
