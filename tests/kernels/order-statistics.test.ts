import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { place, placeFloats } from './in-memory.js';

const plainMedian = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
};
const floats = fc.oneof(
  fc.array(fc.float({ noNaN: true, min: -1e6, max: 1e6 }), { minLength: 1, maxLength: 300 }),
  // Coarse integers: many equal values.
  fc.array(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 300 }),
  fc.array(fc.constantFrom(0, 1, 65535), { minLength: 1, maxLength: 50 }),
);

describe('order statistics', () => {
  it('median as by sorting', () => {
    fc.assert(
      fc.property(floats, (values) => {
        const { kernels, area } = place(new Uint16Array(1));
        expect(kernels.median(placeFloats(area, values), values.length)).toBe(plainMedian(values));
      }),
    );
  });

  it('median of nothing is no number', () => {
    const { kernels, area } = place(new Uint16Array(1));
    expect(kernels.median(placeFloats(area, [1]), 0)).toBeNaN();
  });

  it('median distance of the entries at and under a value', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 4000 }), { minLength: 1, maxLength: 200 }), (values) => {
        const { kernels, area } = place(new Uint16Array(1));
        const address = placeFloats(area, values);
        const room = area.floats(values.length).address;
        const centre = values[0];
        expect(kernels.medianBelow(address, values.length, centre, room)).toBe(
          plainMedian(values.filter((v) => v <= centre).map((v) => centre - v)),
        );
      }),
    );
  });

  it('number, sum and squares within bounds, bounds included', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 1, maxLength: 200 }),
        fc.integer({ min: -400, max: 0 }),
        fc.integer({ min: 0, max: 400 }),
        (values, low, high) => {
          const { kernels, area } = place(new Uint16Array(1));
          const out = area.doubles(3);
          kernels.sumsWithin(placeFloats(area, values), values.length, 10, low, high, out.address);
          const inside = values.filter((v) => v >= low && v <= high).map((v) => v - 10);
          // Whole numbers this small are exact in 32-bit floats up to 2^24.
          expect([...out.view]).toEqual([
            inside.length,
            inside.reduce((s, d) => s + d, 0),
            inside.reduce((s, d) => s + d * d, 0),
          ]);
        },
      ),
    );
  });
});
