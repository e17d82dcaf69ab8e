import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../scenes/random.js';
import { place, placeFloats } from './in-memory.js';

/** The places between pixels that `taps` describe, as records. */
interface Tap {
  readonly first: number;
  readonly weights: readonly [number, number];
}

function tapsFor(random: ReturnType<typeof seededRandom>, side: number, pixels: number): Tap[] {
  return Array.from({ length: side }, () => ({
    first: Math.floor(random.uniform() * (pixels - 1)),
    weights: [random.uniform(), random.uniform() < 0.4 ? 0 : random.uniform()],
  }));
}

function placeTaps(view: Float32Array, taps: readonly Tap[]): void {
  const firsts = new Int32Array(view.buffer, view.byteOffset, view.length);
  taps.forEach(({ first, weights }, i) => {
    firsts[3 * i] = first;
    view.set(weights, 3 * i + 1);
  });
}

describe('a window at sub-pixels', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      width: fc.integer({ min: 2, max: 12 }),
      rows: fc.integer({ min: 2, max: 12 }),
      side: fc.integer({ min: 1, max: 21 }),
      seed: fc.integer({ min: 1, max: 1000 }),
    });
    fc.assert(
      fc.property(cases, ({ width, rows, side, seed }) => {
        const random = seededRandom(seed);
        const { kernels, area } = place(new Uint16Array(1));
        const window = Float32Array.from({ length: width * rows }, () =>
          random.uniform() < 0.3 ? NaN : random.normal(),
        );
        const [across, up] = [tapsFor(random, side, width), tapsFor(random, side, rows)];
        const [tapsX, tapsY] = [area.floats(3 * side), area.floats(3 * side)];
        placeTaps(tapsX.view, across);
        placeTaps(tapsY.view, up);
        const at = placeFloats(area, window);
        const lines = area.floats(2 * rows * (side + 3));
        const [values, weights] = [area.floats(side * side + 3), area.floats(side * side + 3)];
        kernels.resampleWindow(
          at,
          width,
          rows,
          tapsX.address,
          tapsY.address,
          side,
          lines.address,
          values.address,
          weights.address,
        );
        for (let v = 0; v < side; v += 1) {
          for (let u = 0; u < side; u += 1) {
            let [sum, total] = [0, 0];
            for (const j of [0, 1]) {
              for (const i of [0, 1]) {
                const value = window[(up[v].first + j) * width + across[u].first + i];
                if (Number.isNaN(value)) continue;
                const weight = up[v].weights[j] * across[u].weights[i];
                sum += weight * value;
                total += weight;
              }
            }
            const k = v * side + u;
            expect(weights.view[k]).toBeCloseTo(total, 5);
            if (total === 0) expect(values.view[k]).toBe(Infinity);
            // Four products of floats of the size of one, over their weight.
            else expect(Math.abs(values.view[k] - sum / total)).toBeLessThan(1e-5 / Math.min(1, total));
          }
        }
      }),
    );
  });
});

/** The obvious way: sort, take the middle, leave out what is far. */
function plainMean(values: number[], weights: number[], clip: number, floor: number, part: number): number {
  const known = values
    .map((value, i) => ({ value, weight: weights[i] }))
    .filter(({ value }) => value < Infinity);
  const middle = (list: number[]): number => list.sort((a, b) => a - b)[list.length >> 1];
  const median = middle(known.map(({ value }) => value));
  const spread = 1.4826 * middle(known.map(({ value }) => Math.abs(value - median)));
  const limit = known.length < 3 ? Infinity : clip * Math.max(spread, floor, part * Math.abs(median));
  const near = known.filter(({ value }) => Math.abs(value - median) <= limit);
  const total = near.reduce((sum, { weight }) => sum + weight, 0);
  return near.reduce((sum, { value, weight }) => sum + value * weight, 0) / total;
}

describe('mean of the values near their median', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      layers: fc.integer({ min: 1, max: 24 }),
      strips: fc.integer({ min: 1, max: 2 }),
      missing: fc.constantFrom(0, 0.2, 0.9),
      outliers: fc.constantFrom(0, 0.2),
      seed: fc.integer({ min: 1, max: 1000 }),
    });
    fc.assert(
      fc.property(cases, ({ layers, strips, missing, outliers, seed }) => {
        const random = seededRandom(seed);
        const count = 16 * strips;
        const stride = count + 16;
        const { kernels, area } = place(new Uint16Array(1));
        const [values, weights] = [area.floats(layers * stride), area.floats(layers * stride)];
        for (let i = 0; i < layers * stride; i += 1) {
          const isMissing = random.uniform() < missing;
          const far = random.uniform() < outliers ? 30 : 0;
          values.view[i] = isMissing ? Infinity : 2 + random.normal() + far;
          weights.view[i] = isMissing ? 0 : 0.2 + random.uniform();
        }
        const strip = area.floats(16 * layers + 48);
        const out = area.floats(count);
        kernels.meanNearMedian(
          values.address,
          weights.address,
          layers,
          count,
          stride,
          2.53,
          0.05,
          0.1,
          strip.address,
          out.address,
        );
        for (let c = 0; c < count; c += 1) {
          const column = (view: Float32Array) =>
            Array.from({ length: layers }, (_, s) => view[s * stride + c]);
          const plain = plainMean(column(values.view), column(weights.view), 2.53, 0.05, 0.1);
          if (Number.isNaN(plain)) expect(out.view[c]).toBeNaN();
          else expect(Math.abs(out.view[c] - plain)).toBeLessThan(1e-4);
        }
      }),
      { numRuns: 60 },
    );
  });
});
