import { describe, expect, it } from 'vitest';
import { shapeScatter } from '../../src/causes/shape-scatter.js';
import { normal, seeded } from '../field/made-stars.js';

const noisy = (size: number, slope = 0): number[] => {
  const random = seeded(5);
  return Array.from({ length: 40 }, (_, k) => size * normal(random) + slope * k);
};

describe('shapeScatter', () => {
  it('follows the scatter of the neighbours, and not a slow change', () => {
    // 40 differences know a scatter to 15 %.
    expect(shapeScatter(noisy(0.01), 400) / 0.01).toBeGreaterThan(0.7);
    expect(shapeScatter(noisy(0.01), 400) / 0.01).toBeLessThan(1.3);
    expect(shapeScatter(noisy(0.01, 0.002), 400) / shapeScatter(noisy(0.01), 400)).toBeLessThan(1.05);
  });

  it('holds to what is usual where little is seen, and does not take a step for scatter', () => {
    const usual = shapeScatter([0], 400);
    expect(usual).toBeCloseTo(Math.hypot(0.003, 0.06 / 20), 6);
    expect(shapeScatter([], 40)).toBeGreaterThan(usual);
    const step = [0, 0, 0, 0, 0, 0.2, 0.2, 0.2, 0.2, 0.2];
    expect(shapeScatter(step, 400)).toBeLessThan(1.5 * usual);
  });
});
