import { describe, expect, it } from 'vitest';
import { skyGradient } from '../../src/image/sky-gradient.js';

const grid = (value: (i: number, j: number) => number) => ({
  columns: 10,
  rows: 8,
  values: Float64Array.from({ length: 80 }, (_, k) => value(k % 10, Math.floor(k / 10))),
});

describe('sky gradient', () => {
  it('is corner to corner of the plane, pointing to the bright side', () => {
    const { percent, directionDeg } = skyGradient(
      grid((i) => 100 + 2 * i),
      109,
    );
    expect(percent).toBeCloseTo((100 * 20) / 109, 6);
    expect(directionDeg).toBeCloseTo(0, 6);
    const diagonal = skyGradient(
      grid((i, j) => 100 - i - j),
      92,
    );
    expect(diagonal.directionDeg).toBeCloseTo(225, 6);
  });

  it('is the plane alone where vignetting darkens the corners', () => {
    const { percent, directionDeg } = skyGradient(
      grid((i, j) => 100 - ((i - 4.5) ** 2 + (j - 3.5) ** 2) + 0.5 * i + 0.3 * j),
      90,
    );
    expect(percent).toBeCloseTo((100 * (0.5 * 10 + 0.3 * 8)) / 90, 6);
    expect(directionDeg).toBeCloseTo((Math.atan2(0.3, 0.5) * 180) / Math.PI, 6);
  });

  it('centres the fall-off on the frame where its last tiles are stretched', () => {
    // 600 x 400 px in tiles of 64: the frame ends at 9.375 and 6.25 tiles.
    const { percent, directionDeg } = skyGradient(
      {
        columns: 9,
        rows: 6,
        values: Float64Array.from({ length: 54 }, (_, k) => {
          const x = (k % 9) + 0.5 - 4.6875;
          const y = Math.floor(k / 9) + 0.5 - 3.125;
          return 100 - x * x - y * y - x;
        }),
      },
      90,
      { across: 9.375, down: 6.25 },
    );
    expect(percent).toBeCloseTo((100 * 9.375) / 90, 6);
    expect(directionDeg).toBeCloseTo(180, 6);
  });

  it('is not moved by a bright galaxy in one corner', () => {
    const { percent } = skyGradient(
      grid((i, j) => 100 + i + (i < 2 && j < 2 ? 300 : 0)),
      104,
    );
    expect(percent).toBeCloseTo((100 * 10) / 104, 3);
  });

  it('is null where the level is not above zero or there is no grid to speak of', () => {
    expect(
      skyGradient(
        grid(() => 1),
        -5,
      ),
    ).toEqual({ percent: null, directionDeg: null });
    expect(skyGradient({ columns: 1, rows: 5, values: new Float64Array(5) }, 9).percent).toBeNull();
  });
});
