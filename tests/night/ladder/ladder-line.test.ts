import { describe, expect, it } from 'vitest';
import { ladderLine } from '../../../src/night/ladder/ladder-line.js';

describe('the straight line of a ladder', () => {
  it('crosses zero where two points say', () => {
    const line = ladderLine([
      { x: 54, y: -60, error: 2 },
      { x: 56, y: 60, error: 2 },
    ])!;
    expect(line.zero.value).toBeCloseTo(55, 12);
    expect(line.slope.value).toBeCloseTo(60, 12);
    // Error of the mean of two over the slope.
    expect(line.zero.error).toBeCloseTo(2 / Math.SQRT2 / 60, 12);
    expect(line.chi).toBeNull();
  });

  it('has an error that repeated draws bear out', () => {
    let state = 7;
    const uniform = () => (state = (state * 16807) % 2147483647) / 2147483647;
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const zeros: number[] = [];
    let stated = 0;
    for (let i = 0; i < 2000; i += 1) {
      const line = ladderLine([53, 54, 55].map((x) => ({ x, y: 50 * (x - 55.5) + 3 * normal(), error: 3 })))!;
      zeros.push(line.zero.value);
      stated += Math.hypot(3 / Math.sqrt(3), 1.5 * (3 / Math.SQRT2)) / 50 / 2000;
    }
    const mean = zeros.reduce((a, b) => a + b) / zeros.length;
    const spread = Math.sqrt(zeros.reduce((sum, z) => sum + (z - mean) ** 2, 0) / zeros.length);
    // 2000 draws: 2 %.
    expect(spread / stated).toBeGreaterThan(0.93);
    expect(spread / stated).toBeLessThan(1.07);
  });

  it('widens its errors when points scatter', () => {
    const line = ladderLine([54, 55, 56].map((x, i) => ({ x, y: x - 55 + (i === 1 ? 9 : 0), error: 1 })))!;
    expect(line.chi).toBeGreaterThan(5);
    expect(line.slope.error).toBeGreaterThan(5 / Math.SQRT2);
  });

  it('needs two places', () => {
    expect(
      ladderLine([
        { x: 54, y: 1, error: 1 },
        { x: 54, y: 2, error: 1 },
      ]),
    ).toBeNull();
  });
});
