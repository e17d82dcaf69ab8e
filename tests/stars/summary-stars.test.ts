import { describe, expect, it } from 'vitest';
import { chooseSummaryStars } from '../../src/stars/summary-stars.js';
import { StarFlag } from '../../src/stars/types.js';
import { tableOf } from '../scenes/star-table.js';

describe('stars of the summary', () => {
  it('are clean and bright where there are enough of them', () => {
    const table = tableOf({ count: 100 });
    for (let k = 0; k < 100; k += 1) {
      if (k % 4 === 0) table.flags[k] = StarFlag.Saturated;
      if (k % 4 === 1) table.snr[k] = 12;
    }
    const { stars, weights } = chooseSummaryStars(table, 1000, 800);
    expect(stars.length).toBe(50);
    expect(weights.length).toBe(50);
    for (const k of stars) expect(k % 4).toBeGreaterThan(1);
  });

  it('are fainter ones, then blended ones, where there are few others', () => {
    const faint = tableOf({ count: 30, snr: 12 });
    expect(chooseSummaryStars(faint, 1000, 800).stars.length).toBe(30);
    const crowd = tableOf({ count: 30, snr: 60 });
    crowd.flags.fill(StarFlag.Blended);
    crowd.flags[0] = 0;
    expect(chooseSummaryStars(crowd, 1000, 800).stars.length).toBe(30);
  });

  it('never are hot pixels or galaxies', () => {
    const table = tableOf({ count: 10 });
    table.flags.fill(StarFlag.TooSharp, 0, 5);
    table.flags.fill(StarFlag.Extended, 5);
    expect(chooseSummaryStars(table, 1000, 800).stars.length).toBe(0);
  });
});
