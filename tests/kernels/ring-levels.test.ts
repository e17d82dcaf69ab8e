import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { onDesk, testWindow } from './star-window.js';

/** Means near the median, by sorting. */
function plainLevel(pixels: readonly number[], noise: number): number {
  if (pixels.length < 4) return NaN;
  const middle = (values: readonly number[]): number => {
    const sorted = [...values].sort((a, b) => a - b);
    const half = sorted.length >> 1;
    return sorted.length & 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  };
  const centre = middle(pixels);
  const spread = Math.max(noise, 1.4826 * middle(pixels.map((v) => Math.fround(Math.abs(v - centre)))));
  const near = pixels.filter((v) => Math.abs(v - centre) <= 3 * spread);
  return near.reduce((sum, v) => sum + v, 0) / near.length;
}

describe('levels of rings', () => {
  it('are those of plain loops', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      unit: fc.double({ min: 1, max: 6, noNaN: true }),
      first: fc.double({ min: 0.05, max: 0.25, noNaN: true }),
      rings: fc.integer({ min: 3, max: 25 }),
      noise: fc.constantFrom(0.1, 10),
    });
    fc.assert(
      fc.property(cases, ({ seed, unit, first, rings, noise }) => {
        const window = testWindow(seed);
        const { width, height, values, usable, x, y } = window;
        const { kernels, valuesAt, usableAt, numbers, numbersAt, linesAt } = onDesk(window);
        const [places, sorted, room, more, starts] = linesAt;
        kernels.ringLevels(
          valuesAt,
          usableAt,
          width,
          height,
          x,
          y,
          unit,
          first,
          4,
          rings,
          4,
          noise,
          places,
          sorted,
          room,
          more,
          starts,
          numbersAt,
        );
        const pixels: number[][] = Array.from({ length: rings }, () => []);
        values.forEach((v, k) => {
          const r = Math.hypot((k % width) - x, Math.floor(k / width) - y) / unit;
          const ring = Math.max(0, Math.ceil((r - first) * 4));
          if (usable[k] === 1 && ring < rings) pixels[ring].push(v);
        });
        const plain = pixels.map((ring) => plainLevel(ring, noise));
        const outermost = plainLevel(pixels.slice(-4).flat(), noise);
        [...plain, outermost].forEach((level, k) => {
          if (Number.isNaN(level)) expect(numbers[k]).toBeNaN();
          else expect(numbers[k]).toBeCloseTo(level, 6);
        });
      }),
    );
  });
});
