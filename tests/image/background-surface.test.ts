import { describe, expect, it } from 'vitest';
import { interpolateTiles } from '../../src/image/background-at.js';
import {
  fillHoles,
  rejectOutlyingTiles,
  sharpenTiles,
  smoothTiles,
} from '../../src/image/background-surface.js';

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

  it('keeps a corner that a steep fall-off makes dark, and drops one that a star makes bright', () => {
    const dome = grid(9, 8, (i, j) => 1000 - 8 * ((i - 4) ** 2 + (j - 3.5) ** 2));
    expect([...rejectOutlyingTiles(dome, 60)]).toEqual([...dome.values]);
    const lit = { ...dome, values: Float64Array.from(dome.values) };
    lit.values[0] += 300;
    expect(rejectOutlyingTiles(lit, 60)[0]).toBeLessThan(dome.values[0] + 80);
  });

  it('lets straight lines between tile means follow a dome', () => {
    const bend = 8;
    const sky = (x: number, y: number): number => 1000 - bend * (x * x + 0.5 * y * y);
    // Mean over a tile of side 1: lower than its middle by the second derivatives over 24.
    const means = grid(9, 8, (i, j) => sky(i - 4, j - 3.5) - bend * (2 / 24) * 1.5);
    const size = 64;
    const map = { tileSizePx: size, columns: 9, rows: 8 };
    const bias = (tiles: Float64Array): number => {
      let sum = 0;
      let n = 0;
      for (let y = 100; y < 400; y += 7) {
        for (let x = 100; x < 470; x += 7) {
          sum += interpolateTiles(map, tiles, x, y) - sky((x + 0.5) / size - 4.5, (y + 0.5) / size - 4);
          n += 1;
        }
      }
      return sum / n;
    };
    expect(bias(means.values)).toBeLessThan(-2.5);
    expect(Math.abs(bias(sharpenTiles(means, 100)))).toBeLessThan(0.15);
    // Bounded by the noise: a bump that bends faster is not sharpened into the map.
    const bounded = sharpenTiles(means, 1);
    expect(bounded[40] - means.values[40]).toBeCloseTo(0.5, 9);
  });
});
