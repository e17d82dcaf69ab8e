import { describe, expect, it } from 'vitest';
import { onDesk, testWindow } from './star-window.js';

describe('choosing the pixels of a star', () => {
  it.each([
    [1, 4.3, 0],
    [2, 0.6, 3],
    [3, 60, -2.5],
  ])('takes those of a plain loop (window %i, radius %d, pedestal %d)', (seed, radius, pedestal) => {
    const window = testWindow(seed, 0.2);
    const { width, height, values, usable, x, y } = window;
    const plain: number[][] = [[], [], []];
    for (let k = 0; k < width * height; k += 1) {
      const [i, j] = [k % width, Math.floor(k / width)];
      if (!usable[k] || (i - x) ** 2 + (j - y) ** 2 > radius ** 2) continue;
      [i, j, Math.fround(values[k] - pedestal)].forEach((v, part) => plain[part].push(v));
    }
    const desk = onDesk(window);
    const at = desk.linesAt[0];
    const stride = (desk.linesAt[1] - at) / 4;
    const star = [x, y, radius, pedestal] as const;
    const count = desk.kernels.choosePixels(desk.valuesAt, desk.usableAt, width, height, ...star, at, stride);
    expect(plain.map((_, part) => [...desk.lines[part].subarray(0, count)])).toEqual(plain);
  });
});
