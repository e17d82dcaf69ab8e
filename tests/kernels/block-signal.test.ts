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
      size: fc.integer({ min: 1, max: 11 }),
      row: fc.integer({ min: 0, max: 2 }),
      isFloat: fc.boolean(),
    });
    fc.assert(
      fc.property(cases, ({ size, row, isFloat }) => {
        const data = isFloat ? floats : integers;
        const { kernels, area, address, isFloat: type } = place(data);
        const columns = Math.floor(width / size);
        const runs = Math.ceil(width / 8);
        const level = area.floats(runs);
        const noise = area.floats(runs);
        level.view.forEach((_, i) => (level.view[i] = 295 + i));
        noise.view.forEach((_, i) => (noise.view[i] = 30 + i));
        const tops = area.bytes(4 * runs);
        kernels.limitLine(level.address, noise.address, runs, 1.5, type, tops.address);
        const room = area.floats(width + 8);
        const out = area.floats(columns);
        kernels.blockSignal(
          address + row * size * width * data.BYTES_PER_ELEMENT,
          type,
          width,
          width,
          size,
          level.address,
          noise.address,
          tops.address,
          0.5,
          room.address,
          out.address,
        );
        for (let c = 0; c < columns; c += 1) {
          let sum = 0;
          for (let y = row * size; y < (row + 1) * size; y += 1) {
            for (let x = c * size; x < (c + 1) * size; x += 1) {
              const run = Math.floor(x / 8);
              const sky = level.view[run];
              const top = sky + 1.5 * noise.view[run];
              const v = data[y * width + x];
              if (!Number.isNaN(v)) sum += Math.min(v, isFloat ? top : Math.floor(top)) - sky;
            }
          }
          const middle = noise.view[Math.floor((c * size + (size >> 1)) / 8)];
          const plain = sum / size / (0.5 * middle);
          // A hundred numbers of some hundred each, in floats.
          expect(Math.abs(out.view[c] - plain)).toBeLessThan(1e-4);
        }
      }),
    );
  });
});
