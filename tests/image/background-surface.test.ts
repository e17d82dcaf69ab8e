import { describe, expect, it } from 'vitest';
import { fillHoles, rejectOutlyingTiles, smoothTiles } from '../../src/image/background-surface.js';

const grid = (columns: number, rows: number, value: (i: number, j: number) => number) => ({
  columns,
  rows,
  values: Float64Array.from({ length: columns * rows }, (_, k) =>
    value(k % columns, Math.floor(k / columns)),
  ),
});

describe('background surface', () => {
  it('fills holes from their neighbours and leaves an empty grid empty', () => {
    const filled = fillHoles(grid(3, 3, (i, j) => (i === 1 && j === 1 ? NaN : 5)));
    expect([...filled]).toEqual(new Array(9).fill(5));
    expect(fillHoles(grid(2, 2, () => NaN)).every((v) => Number.isNaN(v))).toBe(true);
  });

  it('replaces a tile that stands out by its surroundings', () => {
    const cleaned = rejectOutlyingTiles(
      grid(5, 5, (i, j) => (i === 2 && j === 2 ? 90 : 10)),
      3,
    );
    expect(cleaned[12]).toBe(10);
  });

  it('keeps slopes and curvature while it averages noise', () => {
    const curved = grid(9, 8, (i, j) => 100 + 3 * i - 2 * j + 0.7 * i * i - 0.4 * j * j);
    const smooth = smoothTiles(curved);
    curved.values.forEach((v, k) => expect(smooth[k]).toBeCloseTo(v, 9));
    const spike = grid(9, 9, (i, j) => (i === 4 && j === 4 ? 1 : 0));
    expect(smoothTiles(spike)[40]).toBeCloseTo((17 / 35) ** 2, 9);
  });
});
