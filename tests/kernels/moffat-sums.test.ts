import { describe, expect, it } from 'vitest';
import { createPixelMemory } from '../../src/kernels/index.js';
import { moffatHeight, pixelNodes } from '../../src/stars/moffat-profile.js';
import { layNodes } from '../../src/stars/placed-model.js';
import { seededRandom } from '../scenes/random.js';

const COUNT = 45;
/** Places on the desk, in doubles. */
const [P, GRADIENT, NORMAL] = [0, 8, 16];

function place(parameters: readonly number[], order: number) {
  const desk = createPixelMemory().desk(4096);
  const random = seededRandom(3);
  const nodes = pixelNodes(order);
  const [xs, ys, data] = desk.lines;
  for (let k = 0; k < COUNT; k += 1) {
    xs[k] = k % 7;
    ys[k] = Math.floor(k / 7);
    data[k] = 300 * random.uniform();
  }
  // What lies beyond the pixels counts for nothing.
  data.fill(1e6, COUNT, COUNT + 8);
  desk.numbers.set([...parameters, 2 ** parameters[6] - 1], P);
  const { pixels, stride, nodesAt, nodeCount, work } = layNodes(desk, nodes);
  const at = (place: number): number => desk.numbersAt + 8 * place;
  const sums = (): number =>
    desk.kernels.moffatSums(
      ...([pixels, stride, COUNT, nodesAt, nodeCount, work] as const),
      ...([at(P), at(NORMAL), at(GRADIENT)] as const),
    );
  const line = (k: number): number[] => [
    ...new Float32Array(desk.numbers.buffer, work + k * desk.kernels.modelLineBytes(COUNT), COUNT),
  ];
  return { desk, nodes, sums, line, xs, ys, data };
}

const height = (p: readonly number[], nodes: Float64Array, x: number, y: number): number =>
  p[0] * moffatHeight({ a: p[3], b: p[4], c: p[5], gamma: p[6] }, nodes, x - p[1], y - p[2]);

describe('Moffat profile over pixels', () => {
  it.each([
    ['ordinary', [900, 3.2, 2.9, 0.35, 0.06, 0.42, 0.3], 2],
    ['nearly Gaussian', [900, 3.2, 2.9, 0.35, -0.06, 0.42, 1e-3], 3],
    ['Gaussian', [900, 3.2, 2.9, 0.35, 0.06, 0.42, 0], 1],
    ['ending', [900, 3.2, 2.9, 0.2, 0.02, 0.25, -0.3], 4],
    ['with wide wings', [900, 3.2, 2.9, 0.6, 0.06, 0.42, 0.8], 1],
  ] as const)('has the model and the derivatives of plain arithmetic: %s', (_name, p, order) => {
    const { nodes, sums, line, xs, ys, data } = place(p, order);
    sums();
    for (let k = 0; k < COUNT; k += 1) {
      const here = (q: readonly number[]): number => height(q, nodes, xs[k], ys[k]);
      // 32-bit floats; near the Gaussian the logarithm's rounding counts 1 / gamma times.
      expect(Math.abs(data[k] - line(7)[k] - here(p))).toBeLessThan(900 * 3e-6);
      for (let u = 0; u < 7; u += 1) {
        if (u === 6 && Math.abs(p[6]) < 0.01) continue;
        const step = 1e-5 * Math.max(0.1, Math.abs(p[u]));
        const [up, down] = [1, -1].map((sign) => here(p.map((v, w) => (w === u ? v + sign * step : v))));
        const derivative = (up - down) / (2 * step);
        const scale = u === 0 ? 1 : 900;
        expect(Math.abs(scale * line(u)[k] - derivative)).toBeLessThan(1e-4 * scale);
      }
    }
  });

  it('sums squares, gradient and normal matrix over those lines', () => {
    const p = [900, 3.2, 2.9, 0.35, 0.06, 0.42, 0.3];
    const { desk, sums, line } = place(p, 2);
    const cost = sums();
    const residual = line(7);
    const dot = (a: readonly number[], b: readonly number[]): number =>
      a.reduce((s, v, k) => s + v * b[k], 0);
    expect(Math.abs(cost / dot(residual, residual) - 1)).toBeLessThan(1e-5);
    const byParameter = (u: number): number[] => line(u).map((v) => (u === 0 ? v : 900 * v));
    for (let u = 0; u < 7; u += 1) {
      const size = Math.sqrt(dot(byParameter(u), byParameter(u)) * cost);
      expect(Math.abs(desk.numbers[GRADIENT + u] - dot(byParameter(u), residual))).toBeLessThan(1e-5 * size);
      for (let v = 0; v <= u; v += 1) {
        const plain = dot(byParameter(u), byParameter(v));
        const scale = Math.sqrt(dot(byParameter(u), byParameter(u)) * dot(byParameter(v), byParameter(v)));
        expect(Math.abs(desk.numbers[NORMAL + 8 * u + v] - plain)).toBeLessThan(1e-5 * scale);
      }
    }
  });
});
