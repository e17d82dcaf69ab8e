import { describe, expect, it } from 'vitest';
import { createPixelMemory } from '../../src/kernels/index.js';
import { seededRandom } from '../scenes/random.js';

const memory = createPixelMemory();
const REACH = 3.24;
/** x, y, axes over half-widths of 4 and 2.5 px at 30 degrees, reach. */
const [C, S] = [Math.cos(0.52), Math.sin(0.52)];
const frame = [11.3, 12.2, C / 4, S / 4, -S / 2.5, C / 2.5, REACH];
const seeing = [0.3, -0.1, 0.05, 0.02];

const polynomial = (order: number, t: number): number => Math.cos(order * Math.acos(t));

/** The row of one pixel, by definition; null where it takes no part. */
function plainRow(
  x: number,
  y: number,
  own: readonly number[],
  residual: number,
  isSplit: boolean,
  order: number,
): number[] | null {
  const [dx, dy] = [x - frame[0], y - frame[1]];
  const p = (frame[2] * dx + frame[3] * dy) ** 2;
  const q = (frame[4] * dx + frame[5] * dy) ** 2;
  const isNear = p + q <= REACH;
  if (!isNear && own.length === 0) return null;
  const t = (square: number): number => (2 * square) / REACH - 1;
  const terms: number[] = [];
  for (let k = 0; k <= order; k += 1) {
    if (!isSplit) terms.push(isNear ? polynomial(k, t(p + q)) : 0);
    else
      for (let j = 0; j <= k; j += 1) terms.push(isNear ? polynomial(k - j, t(p)) * polynomial(j, t(q)) : 0);
  }
  terms.push(isNear ? seeing.reduce((s, c, k) => s + c * polynomial(k, t(p + q)), 0) : 0);
  return [...own, ...terms, residual];
}

describe('sums over the core of a star', () => {
  it.each([
    ['round, the fit left as it is', 0, false, 7, 500],
    ['round, many orders', 0, false, 18, 130],
    ['split, with parameters of its own', 3, true, 5, 300],
    ['round, with parameters of its own', 3, false, 7, 37],
  ])('are those of plain loops: %s', (_name, own, isSplit, order, count) => {
    const random = seededRandom(order + count);
    const desk = memory.desk(4096);
    const [column, row] = desk.lines;
    const at = desk.linesAt;
    const stride = (at[1] - at[0]) / 4;
    const line = (k: number): Float32Array =>
      new Float32Array(desk.numbers.buffer, at[4] + k * desk.kernels.modelLineBytes(count), count + 4);
    for (let k = 0; k < count; k += 1) {
      column[k] = 4 + 15 * random.uniform();
      row[k] = 4 + 15 * random.uniform();
      for (const u of [0, 1, 2, 7]) line(u)[k] = random.normal();
    }
    for (const u of [0, 1, 2, 7]) line(u).fill(0, count);
    const size = own + (isSplit ? ((order + 1) * (order + 2)) / 2 : order + 1) + 2;
    desk.numbers.set(frame, 0);
    desk.numbers.set(seeing, 8);
    const sums = desk.numbers.subarray(16, 16 + (size * (size + 1)) / 2).fill(0);
    const places = [at[0], stride, count, at[4], own, desk.numbersAt, 0.5] as const;
    const kind = [isSplit ? 1 : 0, order, desk.numbersAt + 64, seeing.length, desk.numbersAt + 128] as const;
    const used = desk.kernels.coreSums(...places, ...kind);
    const rows = Array.from({ length: count }, (_, k) =>
      plainRow(
        column[k],
        row[k],
        [0, 1, 2].slice(0, own).map((u) => 0.5 * line(u)[k]),
        0.5 * line(7)[k],
        isSplit,
        order,
      ),
    ).filter((r) => r !== null);
    expect(used).toBe(rows.length);
    const norm = (u: number): number => Math.sqrt(rows.reduce((s, r) => s + r[u] * r[u], 0));
    let k = 0;
    for (let u = 0; u < size; u += 1) {
      for (let v = 0; v <= u; v += 1, k += 1) {
        const plain = rows.reduce((s, r) => s + r[u] * r[v], 0);
        // 32-bit floats; the recurrence of Chebyshev polynomials multiplies rounding by their order.
        expect(Math.abs(sums[k] - plain)).toBeLessThan(1e-5 * norm(u) * norm(v));
      }
    }
  });
});
