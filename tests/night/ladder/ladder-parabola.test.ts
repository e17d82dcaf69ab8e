import { describe, expect, it } from 'vitest';
import { parabolaThrough } from '../../../src/night/ladder/ladder-parabola.js';

const points = (bend: number, error = 0.1) =>
  [53, 54, 55, 56, 57].map((x) => ({ x, y: 1 + bend * (x - 55.3) ** 2, error }));

const lowest = (list: Parameters<typeof parabolaThrough>[0]) => parabolaThrough(list)?.lowest ?? null;

describe('a parabola through points', () => {
  it('has its lowest place, with an error that grows with the noise', () => {
    expect(lowest(points(0.5))!.value).toBeCloseTo(55.3, 9);
    expect(lowest(points(0.5, 0.2))!.error / lowest(points(0.5))!.error).toBeCloseTo(2, 6);
  });

  it('has a height everywhere', () => {
    expect(parabolaThrough(points(0.5))!.at(57.3)).toBeCloseTo(1 + 0.5 * 4, 9);
  });

  it('widens its error where the points scatter about it', () => {
    const odd = points(0.5).map((p, i) => ({ ...p, y: p.y + (i === 1 ? 1.2 : 0) }));
    const ratio = lowest(odd)!.error / lowest(points(0.5))!.error;
    expect(ratio).toBeGreaterThan(3);
  });

  it('is not told for a parabola that is not clearly open, or from two places', () => {
    expect(lowest(points(-0.5))).toBeNull();
    expect(lowest(points(0.01, 0.5))).toBeNull();
    expect(lowest(points(0.5).slice(0, 2))).toBeNull();
  });
});
