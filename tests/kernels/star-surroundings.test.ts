import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { onDesk, testWindow } from './star-window.js';

const seeds = fc.integer({ min: 1, max: 1000 });
// Binary fractions: distances come out exact, whichever way they are worked out.
const places = fc.integer({ min: -800, max: 5000 }).map((n) => n / 128);
const radii = fc.integer({ min: 0, max: 1100 }).map((n) => n / 128);

describe('the surroundings of a star', () => {
  it('lose what lies nearer to a neighbour and within its reach', () => {
    const neighbours = fc.array(fc.tuple(places, places, radii), {
      maxLength: 6,
    });
    fc.assert(
      fc.property(seeds, neighbours, (seed, list) => {
        const window = testWindow(seed);
        const { width, height, x, y } = window;
        const { kernels, usable, usableAt, numbers, numbersAt } = onDesk(window);
        numbers.set(list.flat());
        kernels.maskNeighbours(usableAt, width, height, x, y, numbersAt, list.length);
        const plain = window.usable.map((used, k) => {
          const to = (px: number, py: number): number =>
            (px - (k % width)) ** 2 + (py - Math.floor(k / width)) ** 2;
          return list.some(([nx, ny, reach]) => to(nx, ny) <= reach ** 2 && to(nx, ny) < to(x, y)) ? 0 : used;
        });
        expect(usable.subarray(0, plain.length)).toEqual(plain);
      }),
    );
  });

  it('have a highest usable pixel, and blank ones', () => {
    fc.assert(
      fc.property(seeds, places, places, radii, (seed, x, y, radius) => {
        const window = testWindow(seed, 0.3);
        const { width, height, usable } = window;
        const values = window.values.map((v, k) => (k % 3 === 0 && !usable[k] ? 0 : v));
        const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk({ values, usable });
        kernels.innerPixels(valuesAt, usableAt, width, height, x, y, radius, numbersAt);
        const inside = [...values.keys()].filter(
          (k) => ((k % width) - x) ** 2 + (Math.floor(k / width) - y) ** 2 <= radius ** 2,
        );
        expect(numbers[0]).toBe(Math.max(...inside.filter((k) => usable[k]).map((k) => values[k])));
        expect(numbers[1]).toBe(inside.filter((k) => !usable[k] && values[k] === 0).length);
      }),
    );
  });
});
