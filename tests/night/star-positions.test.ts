import { describe, expect, it } from 'vitest';
import { starPositions } from '../../src/night/star-positions.js';

describe('starPositions', () => {
  it('unpacks triples, brightest first, and leaves out what is not a star', () => {
    const stars = starPositions([1, 2, 50, 3, 4, 500, Number.NaN, 1, 9, 5, 6, 0, 7, 8], 1000, 800, 60);
    expect([...stars.flux]).toEqual([500, 50]);
    expect([...stars.x]).toEqual([3, 1]);
    expect(stars.seconds).toBe(60);
  });

  it('allows 0.1 % of the diagonal, less where stars are dense', () => {
    expect(starPositions([1, 2, 3], 3000, 4000).tolerancePx).toBeCloseTo(5);
    const dense = starPositions(
      Array.from({ length: 900 }, (_, i) => i % 100),
      100,
      100,
    );
    // 5 % of the area: 300 pi t^2 = 0.05 x 10^4.
    expect(dense.tolerancePx).toBeCloseTo(Math.sqrt(500 / (297 * Math.PI)), 2);
    expect(dense.chance).toBeCloseTo(0.05);
  });

  it('takes an unknown exposure for one second', () => {
    expect(starPositions([], 10, 10, null)).toMatchObject({ count: 0, seconds: 1 });
  });
});
