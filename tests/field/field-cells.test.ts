import { describe, expect, it } from 'vitest';
import { axisDeg, fieldCells } from '../../src/field/field-cells.js';
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
