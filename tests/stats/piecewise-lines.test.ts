import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../src/simulate/random.js';
import { piecewiseLines } from '../../src/stats/piecewise-lines.js';

const days = (count: number) => Array.from({ length: count }, (_, i) => i);

describe('level and sloped stretches', () => {
  it('level, rising, level lower: three stretches, one slope', () => {
    const y = days(60).map((i) => (i < 20 ? 5 : i < 40 ? 5 + (i - 19.5) : 2));
    const { starts, slopes } = piecewiseLines(days(60), y, 0.5, 4);
    expect(starts).toEqual([0, 20, 40]);
    expect(slopes[0]).toBe(0);
    expect(slopes[1]).toBeCloseTo(1, 9);
    expect(slopes[2]).toBe(0);
  });

  it('costs what a search through every cut in two costs', () => {
    const random = makeRandom(5, 'piecewise-lines');
    const y = days(24).map((i) => random.normal() + (i > 13 ? 0.8 * (i - 13) : 0));
    const [penalty, shortest] = [16, 4];
    let least = part(y, 0, 24, penalty, shortest);
    for (let cut = shortest; cut <= 24 - shortest; cut++) {
      const both = part(y, 0, cut, penalty, shortest) + part(y, cut, 24, penalty, shortest) + penalty;
      least = Math.min(least, both);
    }
    const found = piecewiseLines(days(24), y, penalty, shortest);
    expect(found.starts.length).toBeLessThanOrEqual(2);
    expect(found.cost).toBeCloseTo(least, 8);
  });

  it('too few values: one level stretch', () => {
    expect(piecewiseLines([0, 1], [3, 9], 1, 4)).toEqual({ starts: [0], slopes: [0], cost: Infinity });
  });
});

/** Misfit of one stretch, level or sloped, whichever is cheaper, by plain sums. */
function part(y: readonly number[], from: number, to: number, penalty: number, shortest: number): number {
  const values = y.slice(from, to);
  const x = values.map((_, i) => i);
  const [mx, my] = [x, values].map((list) => list.reduce((a, b) => a + b, 0) / list.length);
  const flat = values.reduce((sum, value) => sum + (value - my) ** 2, 0);
  if (values.length < 2 * shortest) return flat;
  const slope =
    x.reduce((sum, time, i) => sum + (time - mx) * (values[i] - my), 0) /
    x.reduce((sum, time) => sum + (time - mx) ** 2, 0);
  const sloped = values.reduce((sum, value, i) => sum + (value - my - slope * (x[i] - mx)) ** 2, 0);
  return Math.min(flat, sloped + penalty);
}
