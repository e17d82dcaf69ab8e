import { weightedMedian } from '../stats/index.js';
import type { MoffatFit } from './moffat-fit.js';

/** Part of a misfit (in variances of the noise) that goes into the width: what a pair or an unseen neighbour leaves is about as much as it moves the fit. */
const LEAKS = 0.5;
/** Chance alone makes misfits of this many of their own sd. */
const CHANCE = 2;
/** The profile's own misfit, common to all stars, differs with the place between the pixels by as much. */
const COMMON = 2;
const FEWEST_STARS = 6;
/** Single spoilt stars say nothing of the others. */
const MOST_TYPICAL = 3;

/** By which factors the noise errors of the shapes are to be widened. */
export interface MisfitFactors {
  /** For a fitted star. */
  readonly of: (star: MoffatFit) => number;
  /** For stars that were not fitted: root mean square of those of the fitted. */
  readonly typical: number;
}

/**
 * Errors that noise alone would leave are too small where light of an unseen neighbour bends the fit: its residuals tell. What the profile misses in all stars alike is no error
 * of theirs (the core correction takes it up) and is left out.
 */
export function misfitFactors(stars: readonly MoffatFit[]): MisfitFactors {
  const common = stars.length < FEWEST_STARS ? 0 : Math.max(0, commonShare(stars));
  const of = ({ misfit, expectedMisfit, pixels, peak }: MoffatFit): number => {
    const freedom = freedomOf(pixels);
    const beyond = ((misfit - COMMON * common * peak * peak) / expectedMisfit) * freedom;
    return Math.sqrt(1 + LEAKS * Math.max(0, beyond - CHANCE * Math.sqrt(2 * freedom)));
  };
  const squares = stars.reduce((sum, star) => sum + Math.min(MOST_TYPICAL, of(star)) ** 2, 0);
  return { of, typical: stars.length < FEWEST_STARS ? 1 : Math.sqrt(squares / stars.length) };
}

function freedomOf(pixels: number): number {
  return Math.max(1, pixels - 6);
}

/**
 * What the profile misses in the typical star, over its squared height: median over the stars, weighted by what noise leaves of each one's share, as in a plain one the faint majority's noise would
 * decide. The best few count alike, so that no single spoilt one does.
 */
function commonShare(stars: readonly MoffatFit[]): number {
  const shares = stars.map(({ misfit, peak }) => misfit / peak ** 2);
  const errors = stars.map(
    ({ expectedMisfit, peak, pixels }) => (expectedMisfit * Math.sqrt(2 / freedomOf(pixels))) / peak ** 2,
  );
  const best = [...errors].sort((a, b) => a - b)[FEWEST_STARS - 1];
  const share = weightedMedian(
    shares,
    errors.map((error) => 1 / Math.max(error, best)),
  );
  return Number.isNaN(share) ? 0 : share;
}
