import { describe, expect, it } from 'vitest';
import { groupedNormalCore } from '../../src/stats/grouped-normal.js';
import { seededRandom } from '../scenes/random.js';

describe('normal core of rounded values', () => {
  // 8000 values: the mean is known to about 2 sd / sqrt(8000); a step of 0.02 sd and 3 % of the sd leave room for that.
  it.each([
    [0.4, 20.3],
    [0.7, 20.5],
    [1.5, 19.9],
  ])('recovers sd %d of values rounded to whole numbers', (sd, mean) => {
    const random = seededRandom(Math.round(sd * 10));
    const values = Float64Array.from({ length: 8000 }, () => Math.round(mean + sd * random.normal()));
    const core = groupedNormalCore(values, values.length, 1, { mean: Math.round(mean), sd: 1 });
    expect(Math.abs(core.mean - mean)).toBeLessThan(0.05 * sd + 0.01);
    expect(Math.abs(core.sd / sd - 1)).toBeLessThan(0.04);
  });

  it('works in steps other than one', () => {
    const random = seededRandom(9);
    const values = Float64Array.from({ length: 8000 }, () => 16 * Math.round(50.2 + 0.8 * random.normal()));
    const core = groupedNormalCore(values, values.length, 16, { mean: 800, sd: 16 });
    expect(Math.abs(core.mean / 16 - 50.2)).toBeLessThan(0.05);
    expect(Math.abs(core.sd / 16 / 0.8 - 1)).toBeLessThan(0.04);
  });

  it('is not drawn up by stars', () => {
    const random = seededRandom(5);
    const values = Float64Array.from({ length: 8000 }, () =>
      Math.round(30.4 + 0.6 * random.normal() + (random.uniform() < 0.05 ? 20 * random.uniform() : 0)),
    );
    const core = groupedNormalCore(values, values.length, 1, { mean: 30, sd: 1 });
    expect(Math.abs(core.mean - 30.4)).toBeLessThan(0.08);
  });

  it('gives the start back for fewer than eight values', () => {
    expect(groupedNormalCore(Float64Array.of(1, 2), 2, 1, { mean: 5, sd: 3 })).toMatchObject({
      mean: 5,
      sd: 3,
    });
  });
});
