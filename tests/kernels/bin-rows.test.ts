import { describe, expect, it } from 'vitest';
import { spikeRatio } from '../../src/image/spike.js';
import { isSpike } from './is-spike.js';
import { seededRandom } from '../scenes/random.js';
import { place } from './in-memory.js';

const SKY = 100;
const NOISE = 5;
const width = 83;
const height = 70;

/** Sky with stars, hot pixels and, for floats, blanks. */
function field(seed: number, isFloat: boolean): Uint16Array | Float32Array {
  const random = seededRandom(seed);
  const data = isFloat ? new Float32Array(width * height) : new Uint16Array(width * height);
  for (let k = 0; k < data.length; k += 1) data[k] = Math.round(SKY + NOISE * random.normal());
  for (let star = 0; star < 30; star += 1) {
    const x = 2 + Math.floor((width - 4) * random.uniform());
    const y = 2 + Math.floor((height - 4) * random.uniform());
    const flux = 2000 * random.uniform();
    for (let j = -2; j <= 2; j += 1)
      for (let i = -2; i <= 2; i += 1)
        data[(y + j) * width + x + i] += Math.round(flux * Math.exp(-(i * i + j * j) / 3));
  }
  for (let hot = 0; hot < 30; hot += 1) data[Math.floor(data.length * random.uniform())] = 5000;
  if (isFloat)
    for (let blank = 0; blank < 40; blank += 1) data[Math.floor(data.length * random.uniform())] = NaN;
  return data;
}

/** One block by plain loops. */
function plainBlock(
  data: Uint16Array | Float32Array,
  size: number,
  parity: number,
  row: number,
  column: number,
  ratio: number,
): { readonly mean: number; readonly spikes: number } {
  let sum = 0;
  let n = 0;
  let spikes = 0;
  for (let y = row * size; y < (row + 1) * size; y += 1) {
    for (let x = column * size; x < (column + 1) * size; x += 1) {
      const v = data[y * width + x];
      if ((parity >= 0 && (x + y) % 2 !== parity) || Number.isNaN(v)) continue;
      n += 1;
      const isInside = x > 0 && y > 0 && x < width - 1 && y < height - 1;
      if (
        isInside &&
        v > SKY + 6 * NOISE &&
        isSpike(data, width, y * width + x, SKY, NOISE, ratio, parity >= 0)
      ) {
        spikes += 1;
        sum += SKY;
      } else sum += v;
    }
  }
  return { mean: n > 0 ? sum / n : SKY, spikes };
}

describe('means of a row of blocks', () => {
  for (const isFloat of [false, true]) {
    for (const parity of [-1, 0, 1]) {
      for (const size of [2, 4, 8]) {
        it(`are those of plain loops: ${isFloat ? 'floats' : 'integers'}, parity ${parity}, blocks of ${size}`, () => {
          const data = field(size + parity, isFloat);
          const { kernels, area, address, isFloat: type } = place(data);
          const columns = Math.floor(width / size);
          const runs = Math.ceil(columns / 8);
          const level = area.floats(runs);
          const noise = area.floats(runs);
          level.view.fill(SKY);
          noise.view.fill(NOISE);
          const out = area.floats(columns);
          const ratio = spikeRatio(3, parity < 0 ? 1 : Math.SQRT2);
          for (let row = 0; row < Math.floor(height / size); row += 1) {
            const spikes = kernels.binRow(
              address,
              type,
              width,
              height,
              size,
              parity,
              row,
              columns,
              8,
              level.address,
              noise.address,
              ratio,
              out.address,
            );
            const blocks = Array.from({ length: columns }, (_, c) =>
              plainBlock(data, size, parity, row, c, ratio),
            );
            expect(spikes).toBe(blocks.reduce((s, b) => s + b.spikes, 0));
            // Sums of up to 64 numbers of 65,535 at most are exact in floats; the quotient is rounded to 2^-24.
            blocks.forEach((b, c) => expect(Math.abs(out.view[c] - b.mean)).toBeLessThan(1e-6 * b.mean));
          }
        });
      }
    }
  }
});
