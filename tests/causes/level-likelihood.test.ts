import { describe, expect, it } from 'vitest';
import { levelLikelihood, wanderingLikelihood } from '../../src/causes/level-likelihood.js';
import { normal, seeded } from '../field/made-stars.js';

describe('levelLikelihood', () => {
  it('is that of independent values about their mean when the level rests', () => {
    // With the first value as a diffuse start: the restricted likelihood of n values with one mean, apart from a constant of n alone.
    const y = [1, 3, 2, 5, 4, 3];
    const rest = levelLikelihood(y, 0, 1e-6);
    const mean = 3;
    const squares = y.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    const closed = -0.5 * (5 * Math.log(squares / 5) + Math.log(6) + 5);
    expect(rest).toBeCloseTo(closed, 9);
  });

  it('does not fall below the least scatter', () => {
    expect(levelLikelihood([2, 2, 2, 2], 0, 0.1)).toBeCloseTo(-0.5 * (3 * Math.log(0.01) + Math.log(4)), 9);
    expect(levelLikelihood([2], 0, 0.1)).toBe(0);
  });
});

describe('wanderingLikelihood', () => {
  it('prefers wandering for a random walk and rest for noise', () => {
    const random = seeded(4);
    const noise = Array.from({ length: 40 }, () => normal(random));
    let level = 0;
    const walk = Array.from({ length: 40 }, () => (level += normal(random)));
    expect(wanderingLikelihood(walk, 1e-3) - levelLikelihood(walk, 0, 1e-3)).toBeGreaterThan(5);
    expect(wanderingLikelihood(noise, 1e-3) - levelLikelihood(noise, 0, 1e-3)).toBeLessThan(2);
  });
});
