import { describe, expect, it } from 'vitest';
import { commonGamma, GAMMA_SPREAD, SEEING_GAMMA, type GammaVote } from '../../src/stars/common-gamma.js';
import { fitStars } from '../../src/stars/fit-stars.js';
import { lookedAt } from '../scenes/looked-at.js';
import { seeingImage } from '../scenes/star-field.js';

/** A star whose own exponent is `own`; its step falls short of the whole way, as one Newton step does. */
const towards =
  (own: readonly number[], error = 0.05) =>
  (star: number, gamma: number): GammaVote => ({ gammaStep: 0.9 * (own[star] - gamma), gammaError: error });
const numbers = (count: number): number[] => Array.from({ length: count }, (_, k) => k);

describe('exponent that the stars of a frame share', () => {
  it('is found from afar, one odd star among thirty playing no part', () => {
    const own = numbers(30).map((k) => (k === 7 ? 0.8 : -0.3 + 0.01 * (k % 3) - 0.01));
    // Drawn to seeing's by (0.05 / sqrt(30) / 0.1)^2, 0.8 % of 0.47.
    expect(commonGamma(numbers(30), towards(own)).gamma).toBeCloseTo(-0.295, 2);
  });

  it('asks the best forty until near, then all', () => {
    const asked: number[] = [];
    const own = numbers(100).map((k) => (k < 40 ? 0.25 : 0.3));
    const { gamma, votes } = commonGamma(numbers(100), (star, at) => {
      asked.push(star);
      return towards(own)(star, at);
    });
    expect(asked.indexOf(99)).toBeGreaterThan(40);
    expect(votes.length).toBe(100);
    expect(gamma).toBeCloseTo(0.28, 2);
  });

  it('follows the stars that know, unless they really differ', () => {
    // Two know their exponent to 0.004, forty to 0.1.
    const vote =
      (best: readonly number[]) =>
      (star: number, at: number): GammaVote => ({
        gammaStep: (best[star] ?? 0.3 + 0.1 * Math.sin(star)) - at,
        gammaError: star < best.length ? 0.004 : 0.1,
      });
    const same = commonGamma(numbers(42), vote([0.25, 0.252]));
    expect(Math.abs(same.gamma - 0.251)).toBeLessThan(0.005);
    // Differing by far more than their errors they count little more than others.
    const differing = commonGamma(
      numbers(42),
      vote([0.1, 0.16, 0.22, 0.28, 0.34, 0.4, 0.46, 0.52, 0.58, 0.64, 0.7, 0.76]),
    );
    expect(differing.gammaError).toBeGreaterThan(0.02);
  });

  it('tells the votes of each round to who wants to hear', () => {
    const heard: number[] = [];
    commonGamma(numbers(30), towards(numbers(30).fill(0.4)), (votes) => heard.push(votes.length));
    expect(heard.length).toBeGreaterThan(1);
    expect(heard.every((count) => count === 30)).toBe(true);
  });

  it('is that of seeing as far as the stars leave it open', () => {
    const few = commonGamma([0, 1, 2], towards([0.4, 0.4, 0.4]));
    expect(few.gamma).toBe(SEEING_GAMMA);
    expect(few.gammaError).toBe(GAMMA_SPREAD);
    expect(commonGamma([0, 1, 2, 3], () => null).gamma).toBe(SEEING_GAMMA);
    const poor = commonGamma(numbers(9), towards(numbers(9).fill(0.4), 0.3)).gamma;
    // Error of nine votes 0.3 / 3, as wide as the prior: half way.
    expect(poor).toBeGreaterThan(SEEING_GAMMA + 0.08);
    expect(poor).toBeLessThan(SEEING_GAMMA + 0.15);
  });

  it('does not drift as the stars get fainter', () => {
    const gammas: number[] = [];
    for (let seed = 1; seed <= 4; seed += 1) {
      const { setting, looks } = lookedAt(seeingImage(3), { count: 180, snr: [30, 60], seed });
      const all = [...looks.keys()].filter((k) => looks[k].flags === 0);
      gammas.push(fitStars(setting, looks, all, [], 1).gamma);
    }
    const mean = gammas.reduce((sum, g) => sum + g, 0) / gammas.length;
    // About 0.014 a frame (100 votes of 0.14): four frames know it to 0.007; single fits' median lay 0.03 low.
    expect(Math.abs(mean - SEEING_GAMMA)).toBeLessThan(0.021);
  });
});
