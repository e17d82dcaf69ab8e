import { describe, expect, it } from 'vitest';
import { selectRegistrationStars } from '../../src/stars/registration-stars.js';
import { StarFlag } from '../../src/stars/types.js';
import { tableOf } from '../scenes/star-table.js';

describe('registration stars', () => {
  it('are x, y, flux interleaved, brightest first, no more than asked for', () => {
    const table = tableOf({ count: 50 });
    const stars = selectRegistrationStars(table, 20);
    expect(stars.length).toBe(60);
    expect(stars.slice(0, 3)).toEqual([table.x[0], table.y[0], table.flux[0]]);
    for (let k = 5; k < 60; k += 3) expect(stars[k]).toBeLessThanOrEqual(stars[k - 3]);
  });

  it('leave out hot pixels and stars cut by the border, keep blended and faint ones', () => {
    const table = tableOf({ count: 4 });
    table.flags.set([StarFlag.TooSharp, StarFlag.Edge, StarFlag.Blended, StarFlag.Faint]);
    expect(selectRegistrationStars(table).length).toBe(6);
  });

  it('take clipped stars only where sound ones do not fill the list', () => {
    const table = tableOf({ count: 6 });
    table.flags[0] = StarFlag.Saturated;
    expect(selectRegistrationStars(table, 5)[0]).toBe(table.x[1]);
    expect(selectRegistrationStars(table, 6)[0]).toBe(table.x[0]);
  });
});
