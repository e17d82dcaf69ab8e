import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coreNumbers } from '../../src/stats/index.js';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';
import { plainCore } from './plain-core.js';

const side = 64;

const cases = fc.record({
  seed: fc.integer({ min: 1, max: 1000 }),
  level: fc.integer({ min: 500, max: 60000 }),
  noise: fc.integer({ min: 10, max: 100 }),
  starlight: fc.constantFrom(0, 0.1, 0.3),
  above: fc.constantFrom(0.8, 3),
});

/** A tile in the kernels' memory, with room for a sample and for results. */
function placeTile({
  seed,
  level,
  noise,
  starlight,
  above,
}: typeof cases extends fc.Arbitrary<infer C> ? C : never) {
  const random = seededRandom(seed);
  const data = Uint16Array.from({ length: side * side }, () =>
    Math.round(
      level + noise * random.normal() + (random.uniform() < starlight ? 6 * noise * random.uniform() : 0),
    ),
  );
  const placed = place(data);
  const sample = placed.area.bytes(2 * data.length + 16).address + 16;
  const numbers = coreNumbers(3, above);
  const cut = placed.area.doubles(numbers.length);
  cut.view.set(numbers);
  return { ...placed, data, sample, cut, out: placed.area.doubles(5) };
}

interface Core {
  readonly mean: number;
  readonly sd: number;
  readonly used: number;
}

/** Both add up whole numbers exactly: what is left is rounding of the steps in between. */
function expectSame(found: Core, plain: Core): void {
  expect(found.used).toBe(plain.used);
  expect(found.mean).toBeCloseTo(plain.mean, 6);
  expect(found.sd).toBeCloseTo(plain.sd, 6);
}

describe('readings of a tile', () => {
  it('a first look is that of sorting and of plain sums', () => {
    fc.assert(
      fc.property(
        cases,
        fc.integer({ min: 0, max: 65535 }),
        fc.integer({ min: 1, max: 500 }),
        (c, guess, spread) => {
          const { kernels, address, data, sample, cut, out } = placeTile(c);
          const bounds = [0, 0, side, side] as const;
          const n = kernels.readCoarseTile(
            address,
            side,
            side,
            ...bounds,
            3,
            -1,
            guess,
            spread,
            1.4826,
            cut.address,
            sample,
            out.address,
          );
          const values = [...data].filter((_, k) => Math.floor(k / side) % 3 === 0);
          expect(n).toBe(values.length);
          const [median, quartile, mean, sd, used] = out.view;
          const sorted = [...values].sort((a, b) => a - b);
          const reach = Math.max(1, spread / 8) + 1;
          expect(Math.abs(median - (sorted[n / 2 - 1] + sorted[n / 2]) / 2)).toBeLessThan(reach);
          expect(Math.abs(quartile - sorted[n / 4])).toBeLessThan(reach);
          const core = plainCore(values, { mean: median, sd: 1.4826 * (median - quartile) }, 3, c.above);
          expectSame({ mean, sd, used }, core);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('a core is that of plain sums over what is left of a plane', () => {
    fc.assert(
      fc.property(cases, fc.constantFrom(0, 3), (c, shift) => {
        const { kernels, address, data, sample, cut, out } = placeTile(c);
        const n = kernels.readTileCore(
          address,
          side,
          side,
          0,
          0,
          side,
          side,
          1,
          -1,
          0,
          c.level - 3.25,
          0.125,
          0,
          shift,
          1.2 * c.noise,
          cut.address,
          sample,
          out.address,
        );
        expect(n).toBe(data.length);
        const step = 2 ** shift;
        // As exact as the steps: whole numbers, or eighths.
        const values = Array.from(data, (v, k) => {
          const base = Math.floor(c.level - 3.25);
          return (
            (step * (v - base) - Math.floor(step * (c.level - 3.25 - base + 0.125 * (k % side)) + 0.5)) / step
          );
        });
        const core = plainCore(values, { mean: 0, sd: 1.2 * c.noise }, 3, c.above);
        const [mean, sd, used] = out.view;
        expectSame({ mean, sd, used }, core);
      }),
      { numRuns: 60 },
    );
  });
});
