import { describe, expect, it } from 'vitest';
import { individualsChart } from '../../src/stats/individuals-chart.js';

describe('control chart for individuals', () => {
  it('the median form is not widened by one bad value', () => {
    const values = [10, 11, 10, 11, 10, 11, 10, 60, 10, 11, 10, 11, 10];
    expect(individualsChart(values, 'median')!.upperLimit).toBeLessThan(15);
    expect(individualsChart(values, 'mean')!.upperLimit).toBeGreaterThan(30);
  });

  it('needs two values; all equal gives limits on the centre', () => {
    expect(individualsChart([1])).toBeNull();
    expect(individualsChart([4, 4, 4])).toMatchObject({ centre: 4, lowerLimit: 4, upperLimit: 4, sigma: 0 });
  });
});
