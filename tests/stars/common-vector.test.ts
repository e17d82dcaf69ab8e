import { describe, expect, it } from 'vitest';
import { commonVector, type StarVectors } from '../../src/stars/common-vector.js';
import { seededRandom } from '../scenes/random.js';

const WIDTH = 1000;
const HEIGHT = 800;

/** Round stars: vectors of these errors (times `wrong`) and real spread, about nothing. */
function roundStars(errors: readonly number[], seed: number, spread = 0, wrong = 1): StarVectors {
  const random = seededRandom(seed);
  const draw = (): Float64Array =>
    Float64Array.from(errors, (error) => Math.hypot(wrong * error, spread) * random.normal());
  const place = (length: number): Float64Array =>
    Float64Array.from(errors, () => 1 + random.uniform() * (length - 1));
  return {
    e1: draw(),
    e2: draw(),
    error: Float64Array.from(errors),
    x: place(WIDTH),
    y: place(HEIGHT),
  };
}

/** Mean over many frames of the mean vector's squared length over twice its stated variance: 1 when that is honest. */
function excess(make: (seed: number) => StarVectors, frames = 300): number {
  let sum = 0;
  for (let seed = 1; seed <= frames; seed += 1) {
    const { e1, e2, variance } = commonVector(make(seed), WIDTH, HEIGHT)!;
    sum += (e1 * e1 + e2 * e2) / (2 * variance);
  }
  return sum / frames;
}

/** As stars of a frame have them: a few that know, many that do not. */
const unequal = Array.from({ length: 80 }, (_, k) => 0.003 * 1.06 ** k);

describe('common vector', () => {
  it('states its variance, equal errors or not, few stars or many', () => {
    // Chi square of 600 degrees of freedom over 600 scatters by 6 %.
    expect(Math.abs(excess((seed) => roundStars(unequal, seed)) - 1)).toBeLessThan(0.18);
    expect(Math.abs(excess((seed) => roundStars(new Array<number>(60).fill(0.02), seed)) - 1)).toBeLessThan(
      0.18,
    );
    expect(Math.abs(excess((seed) => roundStars(unequal.slice(0, 8), seed)) - 1)).toBeLessThan(0.18);
  });

  it('takes the stars own differences, and errors stated too small, from the scatter', () => {
    const differing = excess((seed) => roundStars(unequal, seed, 0.03));
    expect(differing).toBeGreaterThan(0.75);
    expect(differing).toBeLessThan(1.25);
    // Errors of half the true size would make it 4.
    expect(excess((seed) => roundStars(unequal, seed, 0, 2))).toBeLessThan(1.5);
  });

  it('leaves out stars without a vector, and is null without any', () => {
    const stars = roundStars(unequal, 3);
    const spoilt = { ...stars, e1: stars.e1.slice(), e2: stars.e2.slice() };
    spoilt.e1[0] = NaN;
    spoilt.e2[0] = NaN;
    const common = commonVector(spoilt, WIDTH, HEIGHT)!;
    expect(common.weights[0]).toBe(0);
    expect(Math.hypot(common.e1, common.e2)).toBeLessThan(0.02);
    const none = stars.e1.map(() => NaN);
    expect(commonVector({ ...stars, e1: none, e2: none }, WIDTH, HEIGHT)).toBeNull();
  });
});
