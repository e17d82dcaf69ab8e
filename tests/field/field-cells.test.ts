import { describe, expect, it } from 'vitest';
import { axisDeg, fieldCells } from '../../src/field/field-cells.js';
import { fieldPosition } from '../../src/field/field-position.js';
import { madeStars } from './made-stars.js';

describe('fieldCells', () => {
  it('chooses a grid by the number of stars, between 3 x 3 and 9 x 9', () => {
    const grid = (count: number): [number, number] => {
      const { columns, rows } = fieldCells(
        madeStars(count, 3000, 2000, () => ({ fwhm: 3 })),
        3000,
        2000,
      );
      return [columns, rows];
    };
    expect(grid(10)).toEqual([3, 3]);
    expect(grid(300)).toEqual([8, 5]);
    expect(grid(5000)).toEqual([9, 9]);
  });

  it('averages shape and skewness of a cell within their stated errors', () => {
    const table = madeStars(2000, 3000, 2000, () => ({ fwhm: 3, e1: 0.1, e2: 0.1, skewX: 0.05 }), {
      seed: 3,
    });
    const { cells } = fieldCells(table, 3000, 2000);
    const pulls = cells.map((cell) => ((cell.skewX - 0.05) / cell.skewError) ** 2);
    // Chi-square per cell of about 81 cells: 1 within three of its standard deviations, sqrt(2/81).
    expect(pulls.reduce((a, b) => a + b, 0) / pulls.length).toBeLessThan(1.5);
    for (const cell of cells) expect(Math.abs(cell.angleDeg - 22.5)).toBeLessThan(12);
  });

  it('gives place and size of a cell under the same weights: slope and bowl of wide cells are those of the stars', () => {
    // Widths that vary steeply within each of the wide cells; moments go as their squares, so let the square be plane and bowl.
    const [widthPx, heightPx, half] = [3000, 2000, Math.hypot(3000, 2000) / 2];
    const truth = (u: number, v: number, r2: number): number => 9 * (1 + 0.3 * u - 0.2 * v + 0.5 * r2);
    const table = madeStars(
      190,
      widthPx,
      heightPx,
      (x, y) => {
        const [u, v] = [(x - 1500.5) / half, (y - 1000.5) / half];
        return { fwhm: Math.sqrt(truth(u, v, u * u + v * v)) };
      },
      { noise: 0.002 },
    );
    const { cells, columns, rows } = fieldCells(table, widthPx, heightPx);
    expect(columns * rows).toBeLessThanOrEqual(30);
    const unit = 0.2;
    for (const cell of cells) {
      const at = fieldPosition(cell.x, cell.y, widthPx, heightPx);
      const r2 = at.r2 + (cell.spreadPx2 ?? NaN) / (half * half);
      // Noise of 0.2 % of a width, twice that in a moment, seven or so stars a cell.
      expect(Math.abs((cell.mxx + cell.myy) / 2 / (unit * truth(at.u, at.v, r2)) - 1)).toBeLessThan(0.012);
    }
  });

  it('takes the noise out of the elongation of round stars', () => {
    const { cells } = fieldCells(
      madeStars(2000, 3000, 2000, () => ({ fwhm: 3 }), { seed: 9 }),
      3000,
      2000,
    );
    const mean = cells.reduce((sum, cell) => sum + cell.elongation, 0) / cells.length;
    expect(mean).toBeLessThan(1.01);
  });
});

describe('axisDeg', () => {
  it('gives the axis of an ellipticity vector in [0, 180)', () => {
    expect(axisDeg(1, 0)).toBe(0);
    expect(axisDeg(0, 1)).toBe(45);
    expect(axisDeg(-1, 0)).toBe(90);
    expect(axisDeg(0, -1)).toBe(135);
  });
});
