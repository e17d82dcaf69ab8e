import { describe, expect, it } from 'vitest';
import { createPixelMemory } from '../../src/kernels/index.js';
import { moffatHeight, pixelNodes } from '../../src/stars/moffat-profile.js';
import { seededRandom } from '../scenes/random.js';

const COUNT = 45;
const STRIDE = 64;
/** Places on the desk, in doubles. */
const [P, GRADIENT, NORMAL, MIDDLE, INVERSE, OUT, NODES] = [0, 8, 16, 72, 128, 184, 192];

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
  const at = (place: number): number => desk.numbersAt + 8 * place;
  desk.numbers.set([...parameters, 2 ** parameters[6] - 1], P);
  new Float32Array(desk.numbers.buffer, at(NODES), nodes.length).set(nodes);
  const sums = (size: number): number =>
    desk.kernels.moffatSums(
      desk.linesAt[0],
      desk.linesAt[1],
      desk.linesAt[2],
      COUNT,
      at(NODES),
      nodes.length / 3,
      at(P),
      size,
      desk.linesAt[3],
      STRIDE,
      at(NORMAL),
      at(GRADIENT),
    );
  const line = (k: number): number[] => [...desk.lines[3].subarray(k * STRIDE, k * STRIDE + COUNT)];
  return { desk, nodes, at, sums, line, xs, ys, data };
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
    const { nodes, sums, line, xs, ys } = place(p, order);
    sums(7);
    const model = line(7);
    for (let k = 0; k < COUNT; k += 1) {
      const here = (q: readonly number[]): number => height(q, nodes, xs[k], ys[k]);
      // 32-bit floats; near the Gaussian the logarithm's rounding counts 1 / gamma times.
      expect(Math.abs(model[k] - here(p))).toBeLessThan(900 * 3e-6);
      for (let u = 0; u < 7; u += 1) {
        if (u === 6 && Math.abs(p[6]) < 0.01) continue;
        const step = 1e-5 * Math.max(0.1, Math.abs(p[u]));
        const [up, down] = [1, -1].map((sign) => here(p.map((v, w) => (w === u ? v + sign * step : v))));
        const derivative = (up - down) / (2 * step);
        const scale = u === 0 ? 1 : 900;
        expect(Math.abs(line(u)[k] - derivative)).toBeLessThan(1e-4 * scale);
      }
    }
  });

  it('sums squares, gradient and normal matrix over those lines', () => {
    const p = [900, 3.2, 2.9, 0.35, 0.06, 0.42, 0.3];
    const { desk, sums, line, data } = place(p, 2);
    const cost = sums(6);
    const residual = line(7).map((m, k) => data[k] - m);
    const dot = (a: readonly number[], b: readonly number[]): number =>
      a.reduce((s, v, k) => s + v * b[k], 0);
    expect(Math.abs(cost / dot(residual, residual) - 1)).toBeLessThan(1e-5);
    for (let u = 0; u < 6; u += 1) {
      const size = Math.sqrt(dot(line(u), line(u)) * cost);
      expect(Math.abs(desk.numbers[GRADIENT + u] - dot(line(u), residual))).toBeLessThan(1e-5 * size);
      for (let v = 0; v <= u; v += 1) {
        const plain = dot(line(u), line(v));
        const scale = Math.sqrt(dot(line(u), line(u)) * dot(line(v), line(v)));
        expect(Math.abs(desk.numbers[NORMAL + 6 * u + v] - plain)).toBeLessThan(1e-5 * scale);
      }
    }
  });

  it('weighs the pixels by their noise', () => {
    const p = [900, 3.2, 2.9, 0.35, 0.06, 0.42, 0.3];
    const { desk, at, sums, line, data } = place(p, 2);
    sums(6);
    const inverse = Float64Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 1e-9 : 0));
    desk.numbers.set(inverse, INVERSE);
    for (const isLevered of [false, true]) {
      desk.kernels.moffatNoise(
        COUNT,
        6,
        desk.linesAt[3],
        STRIDE,
        25,
        0.4,
        isLevered ? at(INVERSE) : 0,
        at(MIDDLE),
        at(OUT),
      );
      const model = line(7);
      let excess = 0;
      let light = 0;
      model.forEach((m, k) => {
        const leverage = isLevered ? 1e-9 * [0, 1, 2, 3, 4, 5].reduce((s, u) => s + line(u)[k] ** 2, 0) : 0;
        excess += ((data[k] - m) ** 2 / Math.max(0.2, 1 - leverage) - 25) * m;
        light += m * m;
      });
      expect(Math.abs(desk.numbers[OUT] / excess - 1)).toBeLessThan(1e-4);
      expect(Math.abs(desk.numbers[OUT + 1] / light - 1)).toBeLessThan(1e-5);
      const plain = model.reduce((s, m, k) => s + (25 + 0.4 * Math.max(0, m)) * line(3)[k] * line(5)[k], 0);
      expect(Math.abs(desk.numbers[MIDDLE + 6 * 3 + 5] / plain - 1)).toBeLessThan(1e-5);
      expect(desk.numbers[MIDDLE + 6 * 5 + 3]).toBe(desk.numbers[MIDDLE + 6 * 3 + 5]);
    }
  });
});
