import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const width = 53;
const height = 31;
const random = seededRandom(5);
const integers = Uint16Array.from({ length: width * height }, () => Math.floor(65_536 * random.uniform()));
const floats = Float32Array.from(integers, (v, i) =>
  i % 11 === 3 ? NaN : i % 17 === 4 ? Infinity : v - 20_000,
);

describe('sums over a row of blocks', () => {
  it('are those of plain loops', () => {
    const cases = fc.record({
      size: fc.integer({ min: 1, max: 17 }),
      rowStep: fc.integer({ min: 1, max: 4 }),
      y0: fc.integer({ min: 0, max: 12 }),
      rows: fc.integer({ min: 1, max: 18 }),
      used: fc.integer({ min: 1, max: width }),
      isFloat: fc.boolean(),
    });
    fc.assert(
      fc.property(cases, ({ size, rowStep, y0, rows, used, isFloat }) => {
        const data = isFloat ? floats : integers;
        const { kernels, area, address, isFloat: type } = place(data);
        const blocks = Math.ceil(used / size);
        const line = area.floats(2 * used);
        const out = area.doubles(4 * blocks);
        kernels.blockSums(
          address,
          type,
          width,
          y0,
          y0 + rows,
          rowStep,
          size,
          used,
          line.address,
          out.address,
        );
        const plain = new Float64Array(4 * blocks);
        for (let y = y0; y < y0 + rows; y += rowStep) {
          for (let x = 0; x < used; x += 1) {
            const v = data[y * width + x];
            if (!Number.isFinite(v)) continue;
            const block = Math.floor(x / size);
            const odd = (x - block * size) % 2;
            plain[4 * block + odd] += v;
            plain[4 * block + 2 + odd] += 1;
          }
        }
        // Whole numbers of this size add up without rounding, in floats too.
        expect([...out.view]).toEqual([...plain]);
      }),
    );
  });
});
