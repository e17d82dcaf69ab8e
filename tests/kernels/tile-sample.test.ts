import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const width = 40;
const height = 30;
const random = seededRandom(5);
const integers = Uint16Array.from({ length: width * height }, () => Math.floor(65536 * random.uniform()));
const floats = Float32Array.from(integers, (v) => (random.uniform() < 0.05 ? NaN : v / 7));

/** Eight pixels two columns or rows away, blanks left out, at or under the reference in the mean; false at the border. */
function isDark(data: Uint16Array | Float32Array, x: number, y: number, reference: number): boolean {
  if (x < 2 || y < 2 || x >= width - 2 || y >= height - 2) return false;
  const ring = [-2, 0, 2]
    .flatMap((j) => [-2, 0, 2].map((i) => (i === 0 && j === 0 ? NaN : data[(y + j) * width + x + i])))
    .filter((v) => !Number.isNaN(v));
  return !(ring.reduce((sum, v) => sum + v, 0) / ring.length > reference);
}

/** The same sample by plain loops in doubles. */
function plainSample(
  data: Uint16Array | Float32Array,
  [x0, y0, x1, y1]: readonly number[],
  rowStep: number,
  columnStep: number,
  parity: number,
  isQuiet: boolean,
  [r00, gx, gy]: readonly number[],
): number[] {
  const out: number[] = [];
  let turn = 0;
  for (let y = y0; y < y1; y += rowStep, turn += 1) {
    let start = parity < 0 ? turn % columnStep : ((x0 + y + parity) & 1) + 2 * (turn % (columnStep / 2));
    if (x0 + start >= x1) start = parity < 0 ? 0 : (x0 + y + parity) & 1;
    for (let x = x0 + start; x < x1; x += columnStep) {
      const v = data[y * width + x];
      const reference = r00 + gx * (x - x0) + gy * (y - y0);
      if (Number.isNaN(v) || (isQuiet && !isDark(data, x, y, reference))) continue;
      out.push(v - reference);
    }
  }
  return out;
}

describe('sample of a tile', () => {
  it('is that of plain loops, for every thinning, parity and type', () => {
    const box = fc.tuple(
      fc.integer({ min: 0, max: 15 }),
      fc.integer({ min: 0, max: 10 }),
      fc.integer({ min: 17, max: width }),
      fc.integer({ min: 12, max: height }),
    );
    const slope = fc.tuple(
      fc.double({ min: 0, max: 60000, noNaN: true }),
      fc.double({ min: -2, max: 2, noNaN: true }),
      fc.double({ min: -2, max: 2, noNaN: true }),
    );
    const thinning = fc.constantFrom([1, 1, -1], [5, 2, -1], [3, 4, -1], [1, 2, 0], [5, 2, 1], [3, 4, 1]);
    fc.assert(
      fc.property(
        box,
        slope,
        thinning,
        fc.boolean(),
        fc.boolean(),
        (bounds, plane, [rowStep, step, parity], isFloat, isQuiet) => {
          const data = isFloat ? floats : integers;
          const { kernels, area, address, isFloat: type } = place(data);
          const out = area.floats(width * height);
          const [x0, y0, x1, y1] = bounds;
          const n = kernels.gatherTile(
            address,
            type,
            width,
            height,
            x0,
            y0,
            x1,
            y1,
            rowStep,
            step,
            parity,
            isQuiet ? 1 : 0,
            plane[0],
            plane[1],
            plane[2],
            0,
            out.address,
          );
          const plain = plainSample(data, bounds, rowStep, step, parity, isQuiet, plane);
          expect(n).toBe(plain.length);
          // Rounding of 32-bit floats at 65,536: 2^-8.
          for (let k = 0; k < n; k += 1) expect(Math.abs(out.view[k] - plain[k])).toBeLessThan(0.005);
        },
      ),
    );
  });
});
