import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { onDesk, testWindow } from './star-window.js';

describe('sample of a ring', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      inner: fc.integer({ min: 0, max: 8 }),
      width: fc.integer({ min: 1, max: 12 }),
      stride: fc.integer({ min: 1, max: 3 }),
      most: fc.constantFrom(20, 1000),
    });
    fc.assert(
      fc.property(cases, ({ seed, inner, width: thick, stride, most }) => {
        const window = testWindow(seed, 0.2);
        const { kernels, valuesAt, usableAt, lines, linesAt } = onDesk(window);
        const { width, height, values, usable, x, y } = window;
        const low = inner * inner;
        const high = (inner + thick) ** 2;
        const n = kernels.ringSample(
          valuesAt,
          usableAt,
          width,
          height,
          x,
          y,
          low,
          high,
          stride,
          most,
          linesAt[0],
        );
        const ring = values.filter((_, k) => {
          const r2 = ((k % width) - x) ** 2 + (Math.floor(k / width) - y) ** 2;
          return r2 >= low && r2 <= high && usable[k] === 1;
        });
        const plain = ring.filter((_, k) => (k + 1) % stride === 0).slice(0, most);
        expect([...lines[0].subarray(0, n)]).toEqual([...plain]);
      }),
    );
  });
});
