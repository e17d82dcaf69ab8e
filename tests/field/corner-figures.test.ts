import { describe, expect, it } from 'vitest';
import { cornerFigures } from '../../src/field/corner-figures.js';
import { madeStars } from './made-stars.js';

describe('cornerFigures', () => {
  it('reports the stars of each corner, and null where there are fewer than three', () => {
    const table = madeStars(300, 3000, 2000, (x, y) => ({ fwhm: x > 1500 && y < 1000 ? 4 : 3, e2: 0.1 }));
    // Empty the top left.
    for (let i = 0; i < table.count; i++) if (table.x[i] < 1500 && table.y[i] > 1000) table.flags[i] = 1;
    const corners = cornerFigures(table, 3000, 2000);
    expect(corners.map((c) => c.name)).toEqual(['top-left', 'top-right', 'bottom-left', 'bottom-right']);
    expect(corners[0]).toMatchObject({
      fwhm: null,
      elongation: null,
      angleDeg: null,
      radial: null,
      stars: 0,
    });
    expect(corners[3].fwhm).toBeGreaterThan(3.8);
    // An axis of 45 degrees is radial at the top right, tangential at the bottom right.
    expect(corners[1].radial).toBeGreaterThan(0.05);
    expect(corners[3].radial).toBeLessThan(-0.05);
  });
});
