import { expect, it } from 'vitest';
import { buildPointGrid, nearestPoint, pointsWithin } from '../../src/night/point-grid.js';
import { seededRandom } from '../scenes/random.js';

it('nearestPoint finds what a search of all points finds', () => {
  const random = seededRandom(3);
  const x = Float64Array.from({ length: 400 }, () => random.uniform() * 3000 - 50);
  const y = Float64Array.from({ length: 400 }, () => random.uniform() * 200);
  const grid = buildPointGrid(x, y, 12);
  for (let k = 0; k < 3000; k++) {
    const [px, py] = [random.uniform() * 3100 - 100, random.uniform() * 260 - 30];
    let best = -1;
    let bestSquare = 144;
    x.forEach((xi, i) => {
      const square = (xi - px) ** 2 + (y[i]! - py) ** 2;
      if (square <= bestSquare) [best, bestSquare] = [i, square];
    });
    expect(nearestPoint(grid, px, py, 12)).toBe(best);
    const within = [...x.keys()].filter((i) => (x[i]! - px) ** 2 + (y[i]! - py) ** 2 <= 100);
    expect(pointsWithin(grid, px, py, 10).sort((a, b) => a - b)).toEqual(within);
  }
});

it('a grid of no points finds nothing', () => {
  const none = new Float64Array(0);
  expect(nearestPoint(buildPointGrid(none, none, 3), 0, 0, 3)).toBe(-1);
});
