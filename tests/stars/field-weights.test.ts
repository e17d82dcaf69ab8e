import { describe, expect, it } from 'vitest';
import { fieldBalancedWeights } from '../../src/stars/field-weights.js';

describe('field-balanced weights', () => {
  it('hold a crowded corner down to twice an average part', () => {
    const x = [...new Array(900).fill(10), 500, 300, 550, 90, 400];
    const y = [...new Array(900).fill(10), 350, 200, 50, 390, 300];
    const weights = fieldBalancedWeights(new Float64Array(905).fill(1), x, y, 600, 400);
    const corner = weights.slice(0, 900).reduce((a, b) => a + b, 0);
    expect(corner).toBeCloseTo((2 * 905) / 24, 6);
    expect(weights[901]).toBe(1);
  });

  it('leave an even field alone, and nothing to a star without weight', () => {
    const weights = fieldBalancedWeights(
      Float64Array.of(1, 0, 2),
      [100, 300, 500],
      [100, 200, 300],
      600,
      400,
    );
    expect(weights[1]).toBe(0);
    expect(weights[2] / weights[0]).toBeGreaterThanOrEqual(1);
  });
});
