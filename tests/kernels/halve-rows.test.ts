import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spikeRatio } from '../../src/image/spike.js';
import { isSpike } from './is-spike.js';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const SKY = 400;
const NOISE = 12;

/** Sky with blots and hot pixels, some of them next to each other. */
function field(seed: number, width: number, height: number): Uint16Array {
  const random = seededRandom(seed);
  const data = Uint16Array.from({ length: width * height }, () => Math.round(SKY + NOISE * random.normal()));
  const somewhere = (): number => Math.floor(data.length * random.uniform());
  for (let blot = 0; blot < 12; blot += 1) {
    const k = somewhere();
    for (const step of [0, 1, width, width + 1, -1, -width]) if (k + step < data.length) data[k + step] = 900;
  }
  for (let hot = 0; hot < 25; hot += 1) data[somewhere()] = 65535;
  return data;
}

/** One block by plain loops: exact mean, spikes as sky. */
function plainBlock(
  data: Uint16Array,
  width: number,
  height: number,
  parity: number,
  row: number,
  column: number,
  ratio: number,
): { readonly mean: number; readonly spikes: number } {
  let sum = 0;
  let n = 0;
  let spikes = 0;
  for (let y = 2 * row; y < 2 * row + 2; y += 1) {
    for (let x = 2 * column; x < 2 * column + 2; x += 1) {
      if (parity >= 0 && (x + y) % 2 !== parity) continue;
      const k = y * width + x;
      const isInside = x > 0 && y > 0 && x < width - 1 && y < height - 1;
      const isOut =
        isInside && data[k] > SKY + 6 * NOISE && isSpike(data, width, k, SKY, NOISE, ratio, parity >= 0);
      if (isOut) spikes += 1;
      sum += isOut ? SKY : data[k];
      n += 1;
    }
  }
  return { mean: sum / n, spikes };
}

describe('halved rows', () => {
  it('of pixels are the means of plain loops within their rounding, without spikes', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      width: fc.integer({ min: 16, max: 90 }),
      parity: fc.constantFrom(-1, 0, 1),
    });
    fc.assert(
      fc.property(cases, ({ seed, width, parity }) => {
        const height = 24;
        const data = field(seed, width, height);
        const { kernels, area, address } = place(data);
        const columns = Math.floor(width / 2);
        const runs = Math.ceil(columns / 8);
        const level = area.floats(runs);
        const noise = area.floats(runs);
        level.view.fill(SKY);
        noise.view.fill(NOISE);
        const limits = area.bytes(2 * runs);
        new Uint16Array(kernels.memory.buffer, limits.address, runs).fill(SKY + 6 * NOISE);
        const out = area.bytes(2 * columns + 16);
        const ratio = spikeRatio(3, parity < 0 ? 1 : Math.SQRT2);
        for (let row = 0; row < height / 2; row += 1) {
          const spikes = kernels.halvePixels(
            address,
            width,
            height,
            parity,
            row,
            1,
            columns,
            columns,
            level.address,
            noise.address,
            limits.address,
            ratio,
            out.address,
          );
          const blocks = Array.from({ length: columns }, (_, c) =>
            plainBlock(data, width, height, parity, row, c, ratio),
          );
          expect(spikes).toBe(blocks.reduce((s, b) => s + b.spikes, 0));
          const values = new Uint16Array(kernels.memory.buffer, out.address, columns);
          // Two roundings of pairs, one up and one down, by half a step each.
          blocks.forEach(({ mean }, c) => expect(Math.abs(values[c] - mean)).toBeLessThanOrEqual(0.75));
        }
      }),
      { numRuns: 40 },
    );
  });

  it('of blocks are means within rounding, right to the top of the range, and level on average', () => {
    const random = seededRandom(3);
    const stride = 48;
    const data = Uint16Array.from({ length: 2 * stride }, (_, k) =>
      k % 7 === 0 ? 65535 : Math.floor(65536 * random.uniform()),
    );
    const { kernels, area, address } = place(data);
    const out = area.bytes(2 * 24);
    kernels.halveBlocks(address, stride, 24, out.address);
    const values = new Uint16Array(kernels.memory.buffer, out.address, 24);
    values.forEach((v, c) => {
      const mean = (data[2 * c] + data[2 * c + 1] + data[stride + 2 * c] + data[stride + 2 * c + 1]) / 4;
      expect(Math.abs(v - mean)).toBeLessThanOrEqual(0.75);
    });
  });
});
