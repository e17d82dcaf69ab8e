import { expect, it } from 'vitest';
import { startSweep } from '../../../src/night/sweep/sweep-start.js';
import type { SweepFrame } from '../../../src/night/sweep/types.js';

const frames = (sizes: readonly [outward: number, iso: number][]): SweepFrame[] =>
  sizes.map(([outward, iso]) => ({
    file: 'f',
    positionStep: outward,
    outward,
    stars: 3,
    cells: [
      {
        u: 0,
        v: 0,
        r2: 0,
        iso,
        plus: 0,
        cross: 0,
        isoError: 1,
        shearError: 1,
        stars: 3,
        momentOverFwhm2: 0.2,
      },
    ],
  }));

it('starts at the lowest place of the parabola', () => {
  const start = startSweep(frames([-100, -50, 0, 50, 100].map((x) => [x, 1 + 1e-3 * (x - 20) ** 2])), null);
  expect(start[0]).toBeCloseTo(20, 6);
  expect(Math.exp(start[5]!)).toBeCloseTo(Math.sqrt(0.016 / 1.5), 6);
});

it('takes the growth that is known', () => {
  expect(
    Math.exp(
      startSweep(
        frames([
          [0, 1],
          [1, 2],
          [2, 5],
        ]),
        0.07,
      )[5]!,
    ),
  ).toBeCloseTo(0.07, 12);
});

it('does not run away when sizes fall in one direction only', () => {
  const start = startSweep(
    frames([
      [0, 9],
      [10, 7.9],
      [20, 7],
      [30, 6.2],
    ]),
    null,
  );
  expect(start[0]).toBeLessThanOrEqual(60);
  expect(start[0]).toBeGreaterThanOrEqual(-30);
});
