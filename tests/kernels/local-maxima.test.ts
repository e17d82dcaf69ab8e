import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { place } from './in-memory.js';

/** Columns of the middle row that are above the limit and peaks in reading order. */
function plainMaxima(
  data: ArrayLike<number>,
  width: number,
  halo: number,
  limits: readonly number[],
): number[] {
  const found: number[] = [];
  for (let c = halo; c < width - halo; c += 1) {
    const v = data[width + c];
    const isPeak =
      [c - 1, c, c + 1].every((i) => v >= data[i]) &&
      v >= data[width + c - 1] &&
      [width + c + 1, 2 * width + c - 1, 2 * width + c, 2 * width + c + 1].every((k) => v > data[k]);
    if (v > limits[Math.floor(c / 8)] && isPeak) found.push(c);
  }
  return found;
}

describe('local maxima of a row', () => {
  it('are those of plain loops', () => {
    const rows = fc.integer({ min: 7, max: 70 }).chain((width) =>
      fc.record({
        width: fc.constant(width),
        // Few values, so that plateaus are common.
        values: fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 3 * width, maxLength: 3 * width }),
        limits: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 9, maxLength: 9 }),
        isFloat: fc.boolean(),
      }),
    );
    fc.assert(
      fc.property(rows, ({ width, values, limits, isFloat }) => {
        const data = isFloat ? Float32Array.from(values) : Uint16Array.from(values);
        const { kernels, area, address, isFloat: type } = place(data);
        const limit = area.floats(9);
        limit.view.set(limits);
        const hits = area.integers(width);
        const n = kernels.localMaxima(
          address + width * data.BYTES_PER_ELEMENT,
          type,
          width,
          width,
          3,
          8,
          limit.address,
          hits.address,
        );
        expect([...hits.view.subarray(0, n)]).toEqual(plainMaxima(values, width, 3, limits));
      }),
    );
  });
});
