import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spikeRatio } from '../../src/image/spike.js';
import { residentPixels } from '../../src/kernels/index.js';
import { seededRandom } from '../scenes/random.js';
import { isSpike } from './is-spike.js';
import { onDesk, testWindow } from './star-window.js';

const WIDTH = 53;
const HEIGHT = 31;

describe('gathered window', () => {
  it('is that of plain loops, bit for bit where whole numbers do not have to be split', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      isFloat: fc.boolean(),
      parity: fc.constantFrom(-1, 0, 1),
      x0: fc.integer({ min: 0, max: 40 }),
      y0: fc.integer({ min: 0, max: 20 }),
      columns: fc.integer({ min: 1, max: 13 }),
      rows: fc.integer({ min: 1, max: 11 }),
      scale: fc.constantFrom(1, -0.37, 2.9227),
      offset: fc.double({ min: -40000, max: 40000, noNaN: true }),
    });
    fc.assert(
      fc.property(cases, ({ seed, isFloat, parity, x0, y0, columns, rows, scale, offset }) => {
        const random = seededRandom(seed);
        const stored = Array.from({ length: WIDTH * HEIGHT }, () => Math.floor(65536 * random.uniform()));
        const data = isFloat
          ? Float32Array.from(stored, (v) => (v % 17 === 0 ? NaN : v / 3))
          : Uint16Array.from(stored);
        const pixels = residentPixels(data);
        const area = pixels.workArea();
        const count = columns * rows;
        const values = area.floats(count);
        const usable = area.bytes(count);
        const blanks = pixels.kernels.gatherWindow(
          pixels.address,
          pixels.isFloat,
          WIDTH,
          x0,
          y0,
          columns,
          rows,
          scale,
          offset,
          parity,
          values.address,
          usable.address,
        );
        const plain = new Float32Array(count);
        const counts = new Uint8Array(count);
        for (let k = 0; k < count; k += 1) {
          const x = x0 + (k % columns);
          const y = y0 + Math.floor(k / columns);
          const v = data[y * WIDTH + x] * scale + offset;
          plain[k] = Number.isNaN(v) ? 0 : v;
          counts[k] = !Number.isNaN(v) && (parity < 0 || ((x + y) & 1) === parity) ? 1 : 0;
        }
        if (isFloat || scale !== 1) expect(values.view).toEqual(plain);
        else {
          // The part of the offset under 1 is rounded by itself: by 2^-25 at most.
          values.view.forEach((v, k) => {
            expect(Math.abs(v - plain[k])).toBeLessThanOrEqual(2 ** -25 + 2 ** -23 * Math.abs(plain[k]));
          });
        }
        expect(usable.view).toEqual(counts);
        const isBlank = (k: number): boolean =>
          Number.isNaN(data[(y0 + Math.floor(k / columns)) * WIDTH + x0 + (k % columns)]);
        expect(blanks).toBe([...plain.keys()].filter(isBlank).length);
      }),
    );
  });

  it('loses its spikes, and no starlight', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), fc.boolean(), (seed, isMosaic) => {
        const { width, height, values, usable } = testWindow(seed);
        const random = seededRandom(seed + 1);
        for (let n = 0; n < 12; n += 1) values[Math.floor(random.uniform() * values.length)] += 900;
        const desk = onDesk({ values, usable });
        const noise = 10;
        const ratio = spikeRatio(4.7, isMosaic ? Math.SQRT2 : 1);
        desk.kernels.maskSpikes(
          desk.valuesAt,
          desk.usableAt,
          width,
          height,
          6 * noise,
          noise,
          ratio,
          isMosaic ? 1 : 0,
        );
        const plain = usable.map((used, k) => {
          const x = k % width;
          const y = Math.floor(k / width);
          if (x === 0 || y === 0 || x === width - 1 || y === height - 1 || !(values[k] > 6 * noise))
            return used;
          return isSpike(values, width, k, 0, noise, ratio, isMosaic) ? 0 : used;
        });
        expect([...desk.usable.subarray(0, values.length)]).toEqual([...plain]);
      }),
    );
  });

  it('keeps the light of a star whose neighbours carry their part, on either kind of sensor', () => {
    const flat = new Float32Array(25);
    const masked = (bright: readonly number[], isMosaic: boolean, fwhm: number): boolean => {
      const values = Float32Array.from(flat);
      for (const k of bright) values[k] = 400;
      values[12] = 800;
      const { kernels, valuesAt, usableAt, usable } = onDesk({
        values,
        usable: new Uint8Array(25).fill(1),
      });
      const ratio = spikeRatio(fwhm, isMosaic ? Math.SQRT2 : 1);
      kernels.maskSpikes(valuesAt, usableAt, 5, 5, 30, 5, ratio, isMosaic ? 1 : 0);
      return usable[12] === 0;
    };
    expect(masked([], false, 2)).toBe(true);
    expect(masked([7, 11, 13, 17], false, 2)).toBe(false);
    expect(masked([6, 8, 16, 18], true, 3)).toBe(false);
    expect(masked([6, 8, 16, 18], false, 3)).toBe(true);
  });
});
