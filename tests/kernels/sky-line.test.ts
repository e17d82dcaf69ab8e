import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { interpolateTiles } from '../../src/image/background-at.js';
import { place, placeFloats } from './in-memory.js';

describe('reading of a map along a line', () => {
  it('is that of the plain interpolation', () => {
    const maps = fc
      .record({ columns: fc.integer({ min: 1, max: 6 }), rows: fc.integer({ min: 1, max: 6 }) })
      .chain(({ columns, rows }) =>
        fc.record({
          columns: fc.constant(columns),
          rows: fc.constant(rows),
          tiles: fc.array(fc.integer({ min: 0, max: 60000 }), {
            minLength: columns * rows,
            maxLength: columns * rows,
          }),
          y: fc.integer({ min: 0, max: 400 }),
        }),
      );
    fc.assert(
      fc.property(maps, ({ columns, rows, tiles, y }) => {
        const { kernels, area } = place(new Uint16Array(1));
        const out = area.floats(20);
        const address = placeFloats(area, tiles);
        kernels.tileLine(address, columns, rows, (y + 0.5) / 64 - 0.5, -0.4, 0.31, 20, out.address);
        const map = { tileSizePx: 64, columns, rows };
        for (let k = 0; k < 20; k += 1) {
          const x = 64 * (-0.4 + 0.31 * k + 0.5) - 0.5;
          const plain = interpolateTiles(map, Float64Array.from(tiles), x, y);
          // Floats up to 240,000, beyond the outer tiles.
          expect(Math.abs(out.view[k] - plain)).toBeLessThan(0.1);
        }
      }),
    );
  });
});

describe('limits along a line', () => {
  it('are level + factor x noise, as floats or cut to whole numbers of 16 bits', () => {
    const { kernels, area } = place(new Uint16Array(1));
    const levels = [100.5, -20, 65530, 65530.7];
    const noises = [3, 2, 1, 4];
    const [level, noise] = [placeFloats(area, levels), placeFloats(area, noises)];
    const floats = area.floats(4);
    const bytes = area.bytes(8);
    kernels.limitLine(level, noise, 4, 2, 1, floats.address);
    kernels.limitLine(level, noise, 4, 2, 0, bytes.address);
    levels.forEach((v, k) => expect(floats.view[k]).toBe(Math.fround(Math.fround(v) + 2 * noises[k])));
    expect([...new Uint16Array(kernels.memory.buffer, bytes.address, 4)]).toEqual([106, 0, 65532, 65535]);
  });
});
