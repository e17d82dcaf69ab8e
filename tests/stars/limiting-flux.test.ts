import { describe, expect, it } from 'vitest';
import { limitingFlux } from '../../src/stars/limiting-flux.js';
import { tableOf } from '../scenes/star-table.js';

describe('limiting flux', () => {
  it('is the flux at signal to noise five', () => {
    const table = tableOf({ count: 60 });
    const sky = 90 ** 2;
    const gain = 1.4;
    for (let k = 0; k < 60; k += 1) {
      table.flux[k] = 300000 / (k + 1) ** 1.5;
      table.snr[k] = table.flux[k] / Math.sqrt(sky + table.flux[k] / gain);
    }
    const flux = limitingFlux(table)!;
    expect(flux / Math.sqrt(sky + flux / gain)).toBeCloseTo(5, 1);
  });

  it('is null for fewer than five stars', () => {
    expect(limitingFlux(tableOf({ count: 4 }))).toBeNull();
  });
});
