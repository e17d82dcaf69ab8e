import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place, placeFloats } from './in-memory.js';

const grid = fc.record({
  columns: fc.integer({ min: 1, max: 23 }),
  rows: fc.integer({ min: 1, max: 17 }),
  seed: fc.integer({ min: 1, max: 1000 }),
  every: fc.integer({ min: 1, max: 3 }),
});

describe('lit blocks', () => {
  it('are counted and placed as by plain loops', () => {
    fc.assert(
      fc.property(grid, ({ columns, rows, seed, every }) => {
        const random = seededRandom(seed);
        const values = Float32Array.from({ length: columns * rows }, () => random.uniform() ** 4);
        const { kernels, area, address } = place(values);
        const lit = [...values.keys()].filter((k) => values[k] > 0.25);
        expect(kernels.countAbove(address, values.length, 0.25)).toBe(lit.length);
        const xs = area.floats(values.length);
        const ys = area.floats(values.length);
        const n = kernels.placesAbove(address, columns, rows, 0.25, every, xs.address, ys.address);
        const places = lit.filter((_, turn) => (turn + 1) % every === 0);
        expect([...xs.view.subarray(0, n)]).toEqual(places.map((k) => k % columns));
        expect([...ys.view.subarray(0, n)]).toEqual(places.map((k) => Math.floor(k / columns)));
      }),
    );
  });
});

/** Length of the line x c + y s = rho inside the frame of blocks, whose sides lie half a block beyond their centres: by clipping it at each side in turn. */
function lengthInside(c: number, s: number, rho: number, columns: number, rows: number): number {
  let from = -1e6;
  let to = 1e6;
  const clip = (start: number, slope: number, low: number, high: number): void => {
    if (Math.abs(slope) < 1e-9) {
      if (start < low || start > high) to = from;
      return;
    }
    const ends = [(low - start) / slope, (high - start) / slope].sort((a, b) => a - b);
    from = Math.max(from, ends[0]);
    to = Math.min(to, ends[1]);
  };
  clip(rho * c, -s, -0.5, columns - 0.5);
  clip(rho * s, c, -0.5, rows - 0.5);
  return Math.max(0, to - from);
}

describe('scores of lines', () => {
  it('are votes over chance as by plain loops', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      angle: fc.integer({ min: 0, max: 179 }),
      count: fc.integer({ min: 0, max: 30 }).map((n) => 4 * n),
    });
    const [columns, rows] = [41, 29];
    const reach = Math.ceil(Math.hypot(columns, rows));
    fc.assert(
      fc.property(cases, ({ seed, angle, count }) => {
        const random = seededRandom(seed);
        const x = Array.from({ length: count }, () => Math.floor(columns * random.uniform()));
        const y = Array.from({ length: count }, () => Math.floor(rows * random.uniform()));
        const { kernels, area } = place(new Uint16Array(1));
        const theta = (angle * Math.PI) / 180;
        const [c, s] = [Math.cos(theta), Math.sin(theta)];
        const width = 2 * reach + 1;
        const votes = area.bytes(2 * width + 16);
        const scores = area.floats(width + 7);
        const best = kernels.lineScores(
          placeFloats(area, x),
          placeFloats(area, y),
          count,
          c,
          s,
          reach,
          columns,
          rows,
          0.1,
          2,
          votes.address,
          scores.address,
        );
        const ours = new Uint16Array(kernels.memory.buffer, votes.address, width);
        const plain = new Uint16Array(width);
        x.forEach((_, k) => (plain[Math.floor(x[k] * c + y[k] * s + reach + 0.5)] += 1));
        // A place that lies on the border of two lines may go to either, in floats.
        const isOnBorder = x.some((_, k) => Math.abs(((x[k] * c + y[k] * s + reach) % 1) - 0.5) < 1e-4);
        if (!isOnBorder) expect([...ours]).toEqual([...plain]);
        expect(ours.reduce((sum, n) => sum + n, 0)).toBe(count);
        for (let r = 0; r < width; r += 1) {
          const expected = 0.1 * lengthInside(c, s, r - reach, columns, rows);
          const truth = ours[r] < 2 ? 0 : (ours[r] - expected) / Math.sqrt(expected + 4);
          expect(Math.abs(scores.view[r] - truth)).toBeLessThan(1e-3);
        }
        expect(best).toBe(Math.max(0, ...scores.view.subarray(0, width)));
      }),
    );
  });
});
