import { describe, expect, it } from 'vitest';
import { onDesk, testWindow, type TestWindow } from './star-window.js';

const box = { i0: 2, i1: 12, j0: 1, j1: 13 };
const [a, b, c] = [0.31, 0.07, 0.22];
const pedestal = 3;

/** Visits the pixels that count, with their weight. */
function forEachPixel(
  { width, values, usable, x, y }: TestWindow,
  visit: (w: number, v: number, dx: number, dy: number) => void,
): void {
  for (let j = box.j0; j <= box.j1; j += 1) {
    for (let i = box.i0; i <= box.i1; i += 1) {
      const k = j * width + i;
      const dx = i - x;
      const dy = j - y;
      const q = a * dx * dx + 2 * b * dx * dy + c * dy * dy;
      if (usable[k] && q <= 16) visit(Math.exp(-0.5 * q), values[k] - pedestal, dx, dy);
    }
  }
}

describe('sums of the moments', () => {
  it.each([1, 2, 3, 4, 5, 6])('are those of plain loops in doubles (window %i)', (seed) => {
    const window = testWindow(seed);
    const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk(window);
    const { i0, i1, j0, j1 } = box;
    const { width, x, y } = window;
    kernels.momentSums(valuesAt, usableAt, width, i0, i1, j0, j1, x, y, a, b, c, pedestal, numbersAt);
    const plain = [0, 0, 0, 0, 0, 0];
    const size = [0, 0, 0, 0, 0, 0];
    forEachPixel(window, (w, v, dx, dy) => {
      [1, dx, dy, dx * dx, dx * dy, dy * dy].forEach((t, k) => {
        plain[k] += w * v * t;
        size[k] += Math.abs(w * v * t);
      });
    });
    // 32-bit floats: 2^-24 for each of some hundred terms.
    plain.forEach((value, k) => expect(Math.abs(numbers[k] - value) / size[k]).toBeLessThan(2e-6));
  });

  it.each([1, 2, 3])('with their errors (window %i)', (seed) => {
    const window = testWindow(seed);
    const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk(window);
    const { i0, i1, j0, j1 } = box;
    const { width, x, y } = window;
    const [variance, factor, product] = [100, 0.7, 1.9];
    kernels.momentErrorSums(
      valuesAt,
      usableAt,
      width,
      i0,
      i1,
      j0,
      j1,
      x,
      y,
      a,
      b,
      c,
      pedestal,
      variance,
      factor,
      product,
      numbersAt,
    );
    const plain = [0, 0, 0, 0, 0, 0, 0];
    const size = [0, 0, 0, 0, 0, 0, 0];
    forEachPixel(window, (w, v, dx, dy) => {
      const noise = w * w * (variance + factor * Math.max(0, v));
      const r2 = dx * dx + dy * dy;
      const terms = [
        w * v,
        w,
        noise,
        noise * (r2 / 2 - product) ** 2,
        noise * (dx * (r2 - 4 * product)) ** 2,
        w * v * dx * r2,
        w * v * dy * r2,
      ];
      terms.forEach((t, k) => {
        plain[k] += t;
        size[k] += Math.abs(t);
      });
    });
    plain.forEach((value, k) => expect(Math.abs(numbers[k] - value) / size[k]).toBeLessThan(3e-6));
  });
});
