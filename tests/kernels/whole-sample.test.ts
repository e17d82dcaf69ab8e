import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const width = 60;
const height = 40;
const LEFT_OUT = 32767;
const random = seededRandom(5);
const plain = Uint16Array.from({ length: width * height }, () => Math.round(3000 + 60 * random.normal()));
/** With values all over the range, which cannot all be told from a base. */
const wild = Uint16Array.from(plain, (v) =>
  random.uniform() < 0.1 ? Math.floor(65536 * random.uniform()) : v,
);

const clamp = (value: number, most: number): number => Math.max(-most, Math.min(most, value));

describe('sample of a tile in whole numbers', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      x0: fc.integer({ min: 0, max: 20 }),
      y0: fc.integer({ min: 0, max: 10 }),
      x1: fc.integer({ min: 34, max: width }),
      y1: fc.integer({ min: 14, max: height }),
      rowStep: fc.constantFrom(1, 3, 5),
      parity: fc.constantFrom(-1, 0, 1),
      isQuiet: fc.boolean(),
      margin: fc.constantFrom(0, -9.4),
      r00: fc.integer({ min: 23000, max: 24500 }).map((v) => v / 8 + 0.01),
      gx: fc.integer({ min: -16, max: 16 }).map((v) => v / 8),
      gy: fc.integer({ min: -16, max: 16 }).map((v) => v / 8),
      shift: fc.constantFrom(0, 3),
      isWild: fc.boolean(),
    });
    fc.assert(
      fc.property(cases, (c) => {
        const data = c.isWild ? wild : plain;
        const { kernels, area, address } = place(data);
        const head = area.integers(4);
        area.bytes(2 * width * height);
        const out = head.address + 16;
        const { x0, y0, x1, y1, rowStep, parity, isQuiet, margin, r00, gx, gy, shift } = c;
        const n = kernels.gatherWhole(
          address,
          width,
          height,
          x0,
          y0,
          x1,
          y1,
          rowStep,
          parity,
          isQuiet ? 1 : 0,
          margin,
          r00,
          gx,
          gy,
          shift,
          out,
        );
        const entries = new Int16Array(kernels.memory.buffer, out, head.view[0]);
        const first = isQuiet ? Math.max(2, x0) : x0;
        const vectors = Math.floor(((isQuiet ? Math.min(x1, width - 2) : x1) - first) / 8);
        let k = 0;
        let counted = 0;
        for (let y = y0; y < y1; y += rowStep) {
          if (isQuiet && (y < 2 || y >= height - 2)) continue;
          for (let x = first; x < first + 8 * vectors; x += 1, k += 1) {
            const isGreen = parity < 0 || (x + y) % 2 === parity;
            if (entries[k] !== LEFT_OUT) counted += 1;
            else if (!isGreen) continue;
            expect(isGreen).toBe(true);
            const reference = r00 + gx * (x - x0) + gy * (y - y0);
            if (isQuiet) {
              const at = (i: number, j: number): number => data[(y + j) * width + x + i];
              const ring =
                (at(-2, -2) +
                  at(0, -2) +
                  at(2, -2) +
                  at(-2, 0) +
                  at(2, 0) +
                  at(-2, 2) +
                  at(0, 2) +
                  at(2, 2)) /
                8;
              // Averages of averages in whole numbers, and a limit in whole numbers: none is off by more than two steps.
              const over = ring - reference - margin;
              if (over > 2.5) expect(entries[k]).toBe(LEFT_OUT);
              if (over > -2.5 || entries[k] === LEFT_OUT) {
                if (entries[k] === LEFT_OUT) expect(over).toBeGreaterThan(-2.5);
                continue;
              }
            }
            const range = 32760 / 2 ** shift;
            const value = data[y * width + x] - reference;
            const off = Math.abs(entries[k] / 2 ** shift - clamp(value, range));
            // Half a unit of rounding; at the ends of the range the plane itself makes a difference.
            expect(off).toBeLessThan(Math.abs(value) > range - 200 ? 201 : 0.51 / 2 ** shift + 0.01);
          }
        }
        expect(k).toBe(entries.length);
        expect(n).toBe(counted);
      }),
    );
  });

  const samples = fc
    .array(fc.oneof(fc.integer({ min: -300, max: 300 }), fc.integer({ min: -32768, max: 32766 })), {
      minLength: 8,
      maxLength: 300,
    })
    .map((values) => values.slice(0, values.length - (values.length % 8)));

  it('has quantiles as by sorting, to an eighth of the spread', () => {
    fc.assert(
      fc.property(
        samples,
        fc.double({ min: 0, max: 0.99, noNaN: true }),
        fc.integer({ min: -40000, max: 40000 }),
        fc.integer({ min: 1, max: 400 }),
        (values, part, guess, spread) => {
          const { kernels, area } = place(new Uint16Array(1));
          const placed = area.bytes(2 * values.length);
          new Int16Array(kernels.memory.buffer, placed.address, values.length).set(values);
          const rank = Math.floor(part * values.length);
          const found = kernels.wholeQuantile(placed.address, values.length, rank, guess, spread);
          const sorted = [...values].sort((a, b) => a - b);
          // Between entries by straight lines, within an interval of an eighth of the spread or one step.
          const reach = Math.max(1, spread / 8) + 0.5;
          expect(Math.abs(found - sorted[rank])).toBeLessThanOrEqual(reach);
        },
      ),
    );
  });

  it('has the number, sum and squares within bounds, bounds included', () => {
    fc.assert(
      fc.property(
        samples,
        fc.double({ min: -400, max: 400, noNaN: true }),
        fc.integer({ min: -400, max: 0 }),
        fc.integer({ min: 0, max: 400 }),
        (values, centre, low, high) => {
          const { kernels, area } = place(new Uint16Array(1));
          const placed = area.bytes(2 * values.length);
          new Int16Array(kernels.memory.buffer, placed.address, values.length).set(values);
          const out = area.doubles(3);
          kernels.wholeSums(placed.address, values.length, centre, low, high, out.address);
          const inside = values.filter((v) => v >= low && v <= high).map((v) => v - centre);
          const [n, sum, squares] = out.view;
          expect(n).toBe(inside.length);
          expect(sum).toBeCloseTo(
            inside.reduce((s, d) => s + d, 0),
            6,
          );
          const plainSquares = inside.reduce((s, d) => s + d * d, 0);
          // Squares are added up as floats.
          expect(Math.abs(squares - plainSquares)).toBeLessThanOrEqual(1e-5 * plainSquares + 0.1);
        },
      ),
    );
  });
});
