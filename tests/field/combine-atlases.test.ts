import { describe, expect, it } from 'vitest';
import { combineAtlases } from '../../src/field/combine-atlases.js';
import { meanStars } from '../../src/field/mean-stars.js';
import { drawStars } from './drawn-stars.js';

const atlasOf = (count: number, variance: number, seed = 3) => {
  const { plane, background, table } = drawStars({
    width: 600,
    height: 400,
    count,
    seed,
    shape: () => ({ xx: variance, xy: 0, yy: variance }),
  });
  return meanStars(plane, background, table);
};

describe('combineAtlases', () => {
  it('averages cell by cell, weighted by stars', () => {
    const [a, b] = [atlasOf(150, 2, 3), atlasOf(150, 2, 4)];
    const both = combineAtlases([a, b]);
    const k = Math.floor((both.sideSubPixels * both.sideSubPixels) / 2);
    both.cells.forEach((cell, i) => {
      const [p, q] = [a.cells[i]!, b.cells[i]!];
      expect(cell.stars).toBe(p.stars + q.stars);
      expect(cell.image[k]).toBeCloseTo((p.stars * p.image[k]! + q.stars * q.image[k]!) / cell.stars, 6);
    });
  });

  it('lays squares of different size over each other by their centres', () => {
    const both = combineAtlases([atlasOf(150, 2), atlasOf(150, 8)]);
    expect(both.sideSubPixels).toBe(atlasOf(150, 8).sideSubPixels);
    const { image } = both.cells[7]!;
    const brightest = image.indexOf(Math.max(...image));
    const middle = (both.sideSubPixels - 1) / 2;
    expect(Math.abs((brightest % both.sideSubPixels) - middle)).toBeLessThanOrEqual(1);
    expect(Math.abs(Math.floor(brightest / both.sideSubPixels) - middle)).toBeLessThanOrEqual(1);
  });

  it('takes the commonest grid, keeps cells of no stars empty, and refuses none', () => {
    expect(combineAtlases([atlasOf(20, 2), atlasOf(150, 2), atlasOf(160, 2)]).columns).toBe(5);
    const bare = combineAtlases([atlasOf(0, 2)]);
    expect(bare.cells.every((cell) => cell.stars === 0 && cell.image.length === 0)).toBe(true);
    expect(() => combineAtlases([])).toThrow(RangeError);
  });
});
