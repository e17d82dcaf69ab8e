import { describe, expect, it } from 'vitest';
import { createPixelMemory } from '../../src/kernels/index.js';
import { seededRandom } from '../scenes/random.js';

const memory = createPixelMemory();

describe('sums over pixels that weigh by their noise', () => {
  it.each([5, 37, 128, 300])('are those of plain loops: %d pixels', (count) => {
    const random = seededRandom(count);
    const desk = memory.desk(4096);
    const at = desk.linesAt;
    const line = (k: number): Float32Array =>
      new Float32Array(desk.numbers.buffer, at[4] + k * desk.kernels.modelLineBytes(count), count + 3);
    for (let u = 0; u < 8; u += 1) {
      line(u).fill(0);
      for (let k = 0; k < count; k += 1) line(u)[k] = u === 0 ? random.uniform() : random.normal();
    }
    const [sky, photons] = [25, 400];
    const sums = desk.numbers.subarray(96, 96 + 45).fill(NaN);
    const places = [at[0], (at[1] - at[0]) / 4, count, at[4]] as const;
    desk.kernels.weightedSums(...places, sky, photons, desk.numbersAt + 8 * 96);
    const rows = Array.from({ length: count }, (_, k) => {
      const root = 1 / Math.sqrt(sky + photons * line(0)[k]);
      const terms = [0, 1, 2, 3, 4, 5, 6].map((u) => line(u)[k]);
      return [...terms, 1, line(7)[k]].map((v) => root * v);
    });
    const norm = (u: number): number => Math.sqrt(rows.reduce((s, r) => s + r[u] * r[u], 0));
    for (let u = 0, k = 0; u < 9; u += 1)
      for (let v = 0; v <= u; v += 1, k += 1) {
        const plain = rows.reduce((s, r) => s + r[u] * r[v], 0);
        // Sums in 32-bit floats.
        expect(Math.abs(sums[k] - plain) / (norm(u) * norm(v))).toBeLessThan(1e-5);
      }
  });
});
