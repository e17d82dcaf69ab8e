import { describe, expect, it } from 'vitest';
import { backgroundAt, interpolateTiles, noiseAt } from '../../src/image/background-at.js';
import type { BackgroundMap } from '../../src/image/types.js';

function mapOf(columns: number, rows: number, value: (x: number, y: number) => number): BackgroundMap {
  const level = Float64Array.from({ length: columns * rows }, (_, k) =>
    value(((k % columns) + 0.5) * 32 - 0.5, (Math.floor(k / columns) + 0.5) * 32 - 0.5),
  );
  return {
    tileSizePx: 32,
    columns,
    rows,
    level,
    noise: level.map((v) => v / 10),
    medianLevel: 0,
    medianNoise: 0,
    gradientPercent: null,
    gradientDirectionDeg: null,
  };
}

describe('reading the background map', () => {
  it('follows a plane everywhere, beyond the outer tile centres too, in FITS coordinates', () => {
    const map = mapOf(4, 3, (x, y) => 50 + 0.2 * x - 0.1 * y);
    for (const [x0, y0] of [
      [0, 0],
      [60, 41],
      [127, 95],
    ]) {
      expect(interpolateTiles(map, map.level, x0, y0)).toBeCloseTo(50 + 0.2 * x0 - 0.1 * y0, 9);
      expect(backgroundAt(map, x0 + 1, y0 + 1)).toBeCloseTo(50 + 0.2 * x0 - 0.1 * y0, 9);
      expect(noiseAt(map, x0 + 1, y0 + 1)).toBeCloseTo(5 + 0.02 * x0 - 0.01 * y0, 9);
    }
  });

  it('is constant for a single tile', () => {
    expect(
      backgroundAt(
        mapOf(1, 1, () => 12),
        5,
        30,
      ),
    ).toBe(12);
  });
});
