import { weightedMedian } from '../stats/index.js';
import { GAMMA_MAX, GAMMA_MIN } from './moffat-profile.js';
import { spreadBeyondErrors } from './spread-beyond-errors.js';

/** 1 / beta of an ideal long exposure fitted with equal weights over its core: taken when a frame's stars cannot tell. */
export const SEEING_GAMMA = 1 / 5.9;
/** How far real frames stray from that. */
export const GAMMA_SPREAD = 0.1;
/** How far the stars of one frame stray from each other, at least. */
const LEAST_SPREAD = 0.005;
const FEWEST_STARS = 4;
/** Most rounds; a step this short is the last, and one this long is taken again by the best stars alone. */
const ROUNDS = 5;
const SHORT_STEP = 0.01;
const LONG_STEP = 0.05;
/** Stars of the first rounds. */
const BEST = 40;
/** Votes farther off than this many of their errors are those of pairs and spoilt stars. */
const FARTHEST = 3;

/** What one star, fitted with gamma held, would add to it, and the error of that. */
export interface GammaVote {
  readonly gammaStep: number;
  readonly gammaError: number;
}

/** What the stars of a frame agree on, its error, and the votes of the last round. */
export interface CommonGamma<Vote extends GammaVote> {
  readonly gamma: number;
  readonly gammaError: number;
  readonly votes: readonly Vote[];
}

/**
 * The exponent gamma = 1 / beta that the stars of a frame share, with its error: each star says which way it would go from the one they have in common,
 * the mean of the votes is taken by all, and so on until it rests (Gauss-Newton over the common parameter).
 *
 * Exponents fitted star by star scatter lopsidedly about the true one at low signal to noise, and so do their medians; steps from a common value are linear in the noise. Drawn towards seeing's as far as the error
 * leaves it open. `vote`: fits star `k` of those given, best first, at a gamma; null where it cannot be fitted. `heard` is told the votes of each round. Seeing's own with fewer than four votes.
 */
export function commonGamma<Vote extends GammaVote>(
  stars: readonly number[],
  vote: (star: number, gamma: number) => Vote | null,
  heard: (votes: readonly Vote[]) => void = () => undefined,
): CommonGamma<Vote> {
  let gamma = SEEING_GAMMA;
  let gammaError = GAMMA_SPREAD;
  let votes: Vote[] = [];
  let asked = Math.min(BEST, stars.length);
  for (let round = 0; round < ROUNDS; round += 1) {
    votes = [];
    for (let k = 0; k < asked; k += 1) {
      const one = vote(stars[k], gamma);
      if (one !== null && Number.isFinite(one.gammaStep) && Number.isFinite(one.gammaError)) votes.push(one);
    }
    if (votes.length < FEWEST_STARS) return { gamma: SEEING_GAMMA, gammaError: GAMMA_SPREAD, votes };
    heard(votes);
    const { step, error } = meanVote(votes);
    const precision = 1 / (error * error);
    const prior = 1 / (GAMMA_SPREAD * GAMMA_SPREAD);
    const next = (precision * (gamma + step) + prior * SEEING_GAMMA) / (precision + prior);
    const move = Math.max(GAMMA_MIN + SHORT_STEP, Math.min(GAMMA_MAX - SHORT_STEP, next)) - gamma;
    gamma += move;
    gammaError = 1 / Math.sqrt(precision + prior);
    if (Math.abs(move) < SHORT_STEP && asked === stars.length) break;
    if (Math.abs(move) < LONG_STEP) asked = stars.length;
  }
  return { gamma, gammaError, votes };
}

/** Weighted mean of the votes about their median, those far off left out. */
function meanVote(votes: readonly GammaVote[]): { step: number; error: number } {
  const steps = votes.map(({ gammaStep }) => gammaStep);
  const chance = votes.map(({ gammaError }) => gammaError);
  const spread = spreadBeyondErrors(steps, chance, LEAST_SPREAD);
  const errors = chance.map((error) => Math.hypot(error, spread));
  const middle = weightedMedian(
    steps,
    errors.map((error) => 1 / (error * error)),
  );
  let sum = 0;
  let weights = 0;
  errors.forEach((error, k) => {
    if (Math.abs(steps[k] - middle) > FARTHEST * error) return;
    sum += steps[k] / (error * error);
    weights += 1 / (error * error);
  });
  return { step: sum / weights, error: 1 / Math.sqrt(weights) };
}
