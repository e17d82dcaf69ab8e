import { describe, expect, it } from 'vitest';
import { ATLAS_OVERSAMPLING, meanStars, type AtlasCell, type StarAtlas } from '../../src/field/mean-stars.js';
import { StarFlag } from '../../src/stars/types.js';
import { drawStars } from './drawn-stars.js';

/** Second moments of a mean star in sensor pixels squared, Gaussian-weighted with the true shape (then twice the weighted moment). */
function momentsOf(cell: AtlasCell, atlas: StarAtlas, shape: { xx: number; xy: number; yy: number }) {
  const side = atlas.sideSubPixels;
  const det = shape.xx * shape.yy - shape.xy ** 2;
  let [sum, xx, xy, yy, mx, my] = [0, 0, 0, 0, 0, 0];
  for (let v = 0; v < side; v++) {
    for (let u = 0; u < side; u++) {
      const dx = (u + 0.5 - side / 2) / ATLAS_OVERSAMPLING;
      const dy = (v + 0.5 - side / 2) / ATLAS_OVERSAMPLING;
      const weight = Math.exp(-(shape.yy * dx * dx - 2 * shape.xy * dx * dy + shape.xx * dy * dy) / det / 2);
      const light = weight * cell.image[v * side + u]!;
      sum += light;
      mx += light * dx;
      my += light * dy;
      xx += light * dx * dx;
      xy += light * dx * dy;
      yy += light * dy * dy;
    }
  }
  return { x: mx / sum, y: my / sum, xx: (2 * xx) / sum, xy: (2 * xy) / sum, yy: (2 * yy) / sum };
}

const drawn = { width: 900, height: 600, count: 400, seed: 11, noise: 6 };

describe('meanStars', () => {
  it.each([
    ['round', { xx: 1.6, xy: 0, yy: 1.6 }],
    ['wide', { xx: 4, xy: 0, yy: 4 }],
    ['drawn out at 30 degrees', { xx: 2.75, xy: 0.65, yy: 2 }],
  ])('gives back the shape and centre of %s stars', (_, shape) => {
    const { plane, background, table } = drawStars({ ...drawn, shape: () => shape });
    const atlas = meanStars(plane, background, table);
    const centre = atlas.cells.find((cell) => cell.column === 2 && cell.row === 1)!;
    const found = momentsOf(centre, atlas, shape);
    // The mean over the kernel's reach adds about its own variance (0.3 px wide, cut at 0.7 px: 0.07 px^2) to each axis.
    expect(found.xx - shape.xx).toBeGreaterThan(-0.03);
    expect(found.xx - shape.xx).toBeLessThan(0.15);
    expect(found.yy - shape.yy).toBeLessThan(0.15);
    expect(found.xy).toBeCloseTo(shape.xy, 1);
    expect(Math.hypot(found.x, found.y)).toBeLessThan(0.05);
  });

  it('holds each cell at its place with y up, and shows a softer side', () => {
    const { plane, background, table } = drawStars({
      ...drawn,
      shape: (x) => ({ xx: 1.5 + x / 400, xy: 0, yy: 1.5 + x / 400 }),
    });
    const atlas = meanStars(plane, background, table);
    expect([atlas.columns, atlas.rows]).toEqual([5, 3]);
    atlas.cells.forEach((cell, i) => {
      expect([cell.column, cell.row]).toEqual([i % 5, Math.floor(i / 5)]);
      expect(Math.floor(((cell.x - 0.5) / 900) * 5)).toBe(cell.column);
      expect(Math.floor(((cell.y - 0.5) / 600) * 3)).toBe(cell.row);
    });
    const peak = (column: number) => Math.max(...atlas.cells.find((cell) => cell.column === column)!.image);
    expect(peak(0)).toBeGreaterThan(1.4 * peak(4));
  });

  it('leaves neighbours out: a companion at every star, in random directions, is gone from the mean', () => {
    const shape = { xx: 1.6, xy: 0, yy: 1.6 };
    const alone = drawStars({ ...drawn, shape: () => shape });
    const crowded = drawStars({ ...drawn, shape: () => shape, companion: 0.5 });
    const [a, b] = [alone, crowded].map(({ plane, background, table }) =>
      meanStars(plane, background, table),
    );
    a!.cells.forEach((cell, i) => {
      const peak = Math.max(...cell.image);
      const change = b!.cells[i]!.image.map((value, k) => Math.abs(value - cell.image[k]!));
      // A companion's own peak is half of the star's; where two or three of twenty fall together, a fifth of that may stay.
      expect(Math.max(...change)).toBeLessThan(0.15 * peak);
      expect([...change].sort((x, y) => x - y)[Math.floor(change.length * 0.95)]).toBeLessThan(0.05 * peak);
    });
  });

  it('needs no more than three stars to leave the light beside one of them out', () => {
    const shape = { xx: 1.6, xy: 0, yy: 1.6 };
    // 3 x 3 cells, the brightest three stars of the middle one left.
    const { plane, background, table } = drawStars({ ...drawn, count: 60, shape: () => shape });
    const middle = [...table.x.keys()]
      .filter((i) => table.x[i]! > 320 && table.x[i]! < 580 && table.y[i]! > 220 && table.y[i]! < 380)
      .slice(0, 3);
    table.flags.fill(StarFlag.Saturated);
    for (const i of middle) table.flags[i] = 0;
    const alone = meanStars(plane, background, table).cells[4]!;
    expect(alone.stars).toBe(3);
    const star = middle[1]!;
    const [x, y] = [Math.round(table.x[star]! - 1) + 4, Math.round(table.y[star]! - 1) - 3];
    plane.data[y * 900 + x] = 20_000;
    const hit = meanStars(plane, background, table).cells[4]!;
    const peak = Math.max(...alone.image);
    expect(Math.max(...hit.image.map((value, k) => Math.abs(value - alone.image[k]!)))).toBeLessThan(
      0.02 * peak,
    );
  });

  it('uses the green sites of a colour mosaic only', () => {
    const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
    const { plane, background, table } = drawStars({
      ...drawn,
      mosaic,
      shape: () => ({ xx: 3, xy: 0, yy: 3 }),
    });
    for (let i = 0; i < plane.data.length; i++) {
      const colour = mosaic.cell[(Math.floor(i / 900) % 2) * 2 + (i % 2)];
      if (colour !== 'G') plane.data[i] = 60_000;
    }
    const atlas = meanStars(plane, background, table);
    const found = momentsOf(atlas.cells[7]!, atlas, { xx: 3, xy: 0, yy: 3 });
    expect(found.xx).toBeGreaterThan(2.9);
    expect(found.xx).toBeLessThan(3.2);
  });

  it('takes a coarser grid for few stars, in portrait as in landscape, and cells of none for none', () => {
    const few = drawStars({
      ...drawn,
      width: 600,
      height: 900,
      count: 30,
      shape: () => ({ xx: 2, xy: 0, yy: 2 }),
    });
    const atlas = meanStars(few.plane, few.background, few.table);
    expect([atlas.columns, atlas.rows]).toEqual([3, 3]);
    few.table.flags.fill(StarFlag.Saturated);
    const none = meanStars(few.plane, few.background, few.table);
    expect(
      none.cells.every((cell) => cell.stars === 0 && cell.image.length === 0 && Number.isNaN(cell.x)),
    ).toBe(true);
  });

  it('passes over blank pixels', () => {
    const { plane, background, table } = drawStars({
      ...drawn,
      count: 100,
      shape: () => ({ xx: 2, xy: 0, yy: 2 }),
    });
    const data = Float32Array.from(plane.data);
    for (let i = 0; i < data.length; i += 7) data[i] = NaN;
    const atlas = meanStars({ ...plane, data }, background, table);
    const found = momentsOf(atlas.cells[7]!, atlas, { xx: 2, xy: 0, yy: 2 });
    expect(found.xx).toBeCloseTo(2, 0);
  });
});
