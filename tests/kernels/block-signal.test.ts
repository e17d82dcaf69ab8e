import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const width = 61;
const height = 40;
const random = seededRandom(9);
const integers = Uint16Array.from({ length: width * height }, () => Math.round(300 + 40 * random.normal()));
const floats = Float32Array.from(integers, (v) => (random.uniform() < 0.1 ? NaN : v));

describe('signal of a row of blocks', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      size: fc.integer({ min: 2, max: 11 }),
      rowStep: fc.constantFrom(1, 2),
      parity: fc.constantFrom(-1, 0, 1),
      row: fc.integer({ min: 0, max: 2 }),
      isFloat: fc.boolean(),
    });
    fc.assert(
      fc.property(cases, ({ size, rowStep, parity, row, isFloat }) => {
        const data = isFloat ? floats : integers;
        const { kernels, area, address, isFloat: type } = place(data);
        const columns = Math.floor(width / size);
        const runs = Math.ceil(columns / 8);
        const level = area.floats(runs);
        const noise = area.floats(runs);
        level.view.forEach((_, i) => (level.view[i] = 295 + i));
        noise.view.fill(30);
        const out = area.floats(columns);
        kernels.blockSignal(
          address,
          type,
          width,
          size,
          rowStep,
          parity,
          row,
          columns,
          8,
          level.address,
          noise.address,
          2,
          out.address,
        );
        for (let c = 0; c < columns; c += 1) {
          const sky = level.view[Math.floor(c / 8)];
          let sum = 0;
          let n = 0;
          for (let y = row * size; y < (row + 1) * size; y += rowStep) {
            for (let x = c * size; x < (c + 1) * size; x += 1) {
              const v = data[y * width + x];
              if ((parity >= 0 && (x + y) % 2 !== parity) || Number.isNaN(v)) continue;
              sum += Math.min(v, sky + 60);
              n += 1;
            }
          }
          const plain = n > 0 ? ((sum / n - sky) * Math.sqrt(n)) / 30 : 0;
          // A hundred numbers of some hundred each, in floats.
          expect(Math.abs(out.view[c] - plain)).toBeLessThan(1e-4);
        }
      }),
    );
  });
});
