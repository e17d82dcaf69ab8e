import { describe, expect, it } from 'vitest';
import { strongestPeriod } from '../../src/stats/lomb-scargle.js';
import { normal, seeded } from '../field/made-stars.js';

// prettier-ignore
const times = [0.453, 0.488, 0.539, 0.608, 0.642, 2.345, 2.715, 2.858, 3.834, 3.924, 4.085, 4.349, 4.93, 5.153, 5.556, 6.524, 6.767, 8.05, 8.079, 8.442, 8.797, 8.977, 9.742, 9.992];
// prettier-ignore
const values = [3.033, 3.058, 1.218, 1.552, 0.881, 0.787, 2.452, 3.508, 2.099, 2.558, 2.814, 2.574, 0.166, 1.445, 3.414, 2.074, 4.191, 3.929, 2.278, 1.633, 0.027, 1.73, 1.496, -0.693];

describe('strongestPeriod', () => {
  it('agrees with an independent library', () => {
    // astropy.timeseries.LombScargle(t, y, fit_mean=False).power(f, normalization='psd') over the sample variance, at the same frequencies.
    const found = strongestPeriod(times, values, 0.8)!;
    expect(found.period).toBeCloseTo(1.3157241379310347, 9);
    expect(found.power).toBeCloseTo(8.813907384792321, 6);
    expect(found.falseAlarm).toBeLessThan(0.01);
  });

  it('raises a false alarm in noise about as often as it says', () => {
    const random = seeded(3);
    let alarms = 0;
    for (let k = 0; k < 400; k++) {
      const noise = times.map(() => normal(random));
      if (strongestPeriod(times, noise, 0.8)!.falseAlarm < 0.1) alarms++;
    }
    // 40 expected with a binomial scatter of 6; finer steps of frequency than independent ones raise it, the sample's own variance lowers it.
    expect(alarms).toBeLessThan(80);
    expect(alarms).toBeGreaterThan(5);
  });

  it('is null without enough to go by', () => {
    expect(strongestPeriod([1, 2, 3], [1, 2, 1], 0.5)).toBeNull();
    expect(
      strongestPeriod(
        times,
        times.map(() => 1),
        0.8,
      ),
    ).toBeNull();
    expect(strongestPeriod(times, values, 9)).toBeNull();
  });
});
