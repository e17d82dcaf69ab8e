import { gather } from '../stats/index.js';
import { commonVector, type CommonVector, type StarVectors } from './common-vector.js';
import type { SummaryStars } from './summary-stars.js';
import type { StarTable } from './types.js';

/** Common elongation of the stars of a frame. */
export interface Trail {
  /** Axis, degrees in [0, 180); null without two stars. */
  readonly angleDeg: number | null;
  /** Length of the mean ellipticity vector over the mean length: 0 random axes, 1 all along one axis. */
  readonly coherence: number | null;
  /** Length of the mean vector over the standard error of its components: without a trail a chi of two degrees of freedom (Rayleigh), above 3.0 by chance in one frame of a hundred. */
  readonly significance: number | null;
}

const NO_TRAIL: Trail = { angleDeg: null, coherence: null, significance: null };
/** Square of a difference, in its own variance, that is taken for chance: of one degree of freedom, above it by chance one time in a hundred. */
const CHANCE_SQUARE = 6.6;

/**
 * Mean of the stars' ellipticity vectors (twice the angle, so that axes add up), with its error: over the field, `widthPx` by `heightPx`, as `commonVector` has it.
 *
 * Axes with pixels weighted by their noise are better known; but a path that bends draws the wings out along another axis than the core, and there those of the fits are believed: as far as both
 * differ by more than chance (Hausman 1978).
 *
 * The coherence compares with the mean length after the noise's share is taken off, and cannot pass 1.
 */
export function trailFigure(
  table: StarTable,
  { stars }: SummaryStars,
  widthPx: number,
  heightPx: number,
): Trail {
  const place = { x: gather(table.x, stars), y: gather(table.y, stars) };
  const column = (name: 'e1' | 'e2' | 'eError' | 'axis1' | 'axis2' | 'axisError'): Float64Array =>
    gather(table[name], stars);
  const fits = { e1: column('e1'), e2: column('e2'), error: column('eError'), ...place };
  const weighted = { e1: column('axis1'), e2: column('axis2'), error: column('axisError'), ...place };
  const axes = asLongAsFits(weighted, fits);
  const byFits = commonVector(fits, widthPx, heightPx);
  const byAxes = commonVector(axes, widthPx, heightPx);
  if (byFits === null || byAxes === null || stars.length < 2) return NO_TRAIL;
  const { e1, e2, variance } = believed(byAxes, byFits);
  const mean = Math.hypot(e1, e2);
  const length = meanLength(axes, byAxes.weights);
  return {
    angleDeg: ((Math.atan2(e2, e1) * 90) / Math.PI + 180) % 180,
    coherence: Math.min(1, mean / Math.max(length, mean)),
    significance: variance > 0 ? mean / Math.sqrt(variance) : null,
  };
}

/** A length is brought to that of the fit by twice at most. */
const LEAST_RATIO = 0.5;

/**
 * Noise-weighted vectors, and their errors, lengthened so that they are as long as those of the fits: the brighter a star, and the more its weights thus differ from equal ones, the less drawn out
 * than its core are the parts that they listen to. No vector changes its direction; the shortening is taken to go with the part of the variance that the weights save (least squares, the noise's share taken off) where it is beyond chance.
 */
function asLongAsFits(weighted: StarVectors, fits: StarVectors): StarVectors {
  let shorter = 0;
  let length = 0;
  let chance = 0;
  const saved = weighted.error.map((error, k) => 1 - (error / fits.error[k]) ** 2);
  for (let k = 0; k < saved.length; k += 1) {
    if (!(saved[k] > 0)) continue;
    const w = saved[k] / weighted.error[k] ** 2;
    const { e1, e2 } = fits;
    const noise = fits.error[k] ** 2;
    const difference = e1[k] * (e1[k] - weighted.e1[k]) + e2[k] * (e2[k] - weighted.e2[k]);
    const square = e1[k] ** 2 + e2[k] ** 2;
    shorter += w * (difference - 2 * noise * saved[k]);
    length += w * saved[k] * (square - 2 * noise);
    chance += w * w * square * noise * saved[k];
  }
  const isShorter = shorter > 0 && shorter ** 2 > CHANCE_SQUARE * chance && length > 0;
  const perSaved = isShorter ? shorter / length : 0;
  const ratios = saved.map((part) => Math.max(LEAST_RATIO, 1 - perSaved * Math.max(0, part)));
  const lengthened = (values: Float64Array): Float64Array => values.map((value, k) => value / ratios[k]);
  const { e1, e2, error } = weighted;
  return { ...weighted, e1: lengthened(e1), e2: lengthened(e2), error: lengthened(error) };
}

/** The better known of two means, moved towards the one that is always right as far as they differ, across the axis, by more than chance. */
function believed(better: CommonVector, right: CommonVector): Omit<CommonVector, 'weights'> {
  const d1 = right.e1 - better.e1;
  const d2 = right.e2 - better.e2;
  const across = (right.e1 * d2 - right.e2 * d1) / Math.hypot(right.e1, right.e2);
  const chance = Math.max(0, right.variance - better.variance);
  const moved = across === 0 ? 0 : Math.max(0, 1 - (CHANCE_SQUARE * chance) / across ** 2) || 0;
  return {
    e1: better.e1 + moved * d1,
    e2: better.e2 + moved * d2,
    variance: better.variance + moved ** 2 * chance,
  };
}

/** Weighted mean of the vectors' lengths, the noise's share taken off each. */
function meanLength({ e1, e2, error }: StarVectors, weights: Float64Array): number {
  let sum = 0;
  let lengths = 0;
  for (let k = 0; k < weights.length; k += 1) {
    if (!(weights[k] > 0)) continue;
    sum += weights[k];
    lengths += weights[k] * Math.sqrt(Math.max(0, e1[k] ** 2 + e2[k] ** 2 - 2 * error[k] ** 2));
  }
  return lengths / sum;
}
