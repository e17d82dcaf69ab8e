import { describe, expect, it } from 'vitest';
import { onDesk, testWindow, type TestWindow } from './star-window.js';

/** Light at an offset from pixel (i, j): second-order expansion from the neighbours of the same kind. */
function expansion(
  { width, height, values, usable }: TestWindow,
  i: number,
  j: number,
  isMosaic: boolean,
): (ox: number, oy: number, part: number) => number {
  const k = j * width + i;
  const v = values[k];
  if (i === 0 || j === 0 || i === width - 1 || j === height - 1) return () => v;
  const [ll, lr, ul, ur] = [k - width - 1, k - width + 1, k + width - 1, k + width + 1].map((n) => values[n]);
  const twist = (ll + ur - lr - ul) / 4;
  let [slopeX, slopeY] = [(lr + ur - ll - ul) / 4, (ul + ur - ll - lr) / 4];
  let [curveX, curveY] = [0, 0];
  if (isMosaic) curveX = curveY = (ll + lr + ul + ur - 4 * v) / 4;
  else {
    const beside = [k - 1, k + 1, k - width, k + width];
    if (beside.some((n) => usable[n] === 0)) return () => v;
    const [left, right, down, up] = beside.map((n) => values[n]);
    [slopeX, slopeY] = [(right - left) / 2, (up - down) / 2];
    [curveX, curveY] = [right + left - 2 * v, up + down - 2 * v];
  }
  return (ox, oy, part) =>
    v +
    (curveX + curveY) * (part / 24) +
    slopeX * ox +
    slopeY * oy +
    0.5 * curveX * ox * ox +
    0.5 * curveY * oy * oy +
    twist * ox * oy;
}

describe('light in rings', () => {
  it.each([
    [1, false, 7.3],
    [2, false, 4.4],
    [3, true, 9.1],
    [4, true, 5],
  ])('is that of plain loops (window %i, mosaic %s, radius %d)', (seed, isMosaic, radius) => {
    const window = testWindow(seed);
    const { width, height, usable, x, y } = window;
    const desk = onDesk(window);
    const steps = 48;
    const step = radius / steps;
    const ring = (line: number): Float64Array =>
      new Float64Array(desk.lines[line].buffer, desk.linesAt[line], steps).fill(0);
    const flux = ring(0);
    const area = ring(1);
    desk.kernels.growthRings(
      desk.valuesAt,
      desk.usableAt,
      width,
      height,
      x,
      y,
      radius,
      step,
      steps,
      3,
      isMosaic ? 1 : 0,
      desk.linesAt[0],
      desk.linesAt[1],
    );
    const inside = [0, 0];
    const plain = [0, 0];
    for (let j = 0; j < height; j += 1) {
      for (let i = 0; i < width; i += 1) {
        const r = Math.hypot(i - x, j - y);
        if (!usable[j * width + i] || r > radius + 0.75) continue;
        const light = expansion(window, i, j, isMosaic);
        const cuts = r < 3 ? 7 : r < 8 ? 4 : 2;
        const part = 1 / cuts ** 2;
        for (let b = 0; b < cuts; b += 1) {
          for (let a = 0; a < cuts; a += 1) {
            const ox = (a + 0.5) / cuts - 0.5;
            const oy = (b + 0.5) / cuts - 0.5;
            const bin = Math.floor(Math.hypot(i - x + ox, j - y + oy) / step);
            if (bin >= steps) continue;
            flux[bin] -= (light(ox, oy, part) - 3) * part;
            area[bin] -= part;
            plain[0] += (light(ox, oy, part) - 3) * part;
            plain[1] += part;
          }
        }
      }
    }
    // In one sum, without areas.
    const whole = ring(2).subarray(0, 1);
    const { kernels, valuesAt, usableAt, linesAt } = desk;
    kernels.growthRings(
      valuesAt,
      usableAt,
      width,
      height,
      x,
      y,
      radius,
      radius,
      1,
      3,
      isMosaic ? 1 : 0,
      linesAt[2],
      0,
    );
    expect(whole[0] / plain[0]).toBeCloseTo(1, 5);
    // What is left after the plain light is taken off: rounding, and pieces that it moved over a ring's edge into the next.
    let left = 0;
    let missing = 0;
    for (let k = 0; k < steps; k += 1) {
      left += flux[k];
      missing += area[k];
      inside[0] = Math.max(inside[0], Math.abs(left));
      inside[1] = Math.max(inside[1], Math.abs(missing));
    }
    expect(inside[0] / plain[0]).toBeLessThan(1e-3);
    expect(inside[1]).toBeLessThan(0.07);
    expect(Math.abs(missing)).toBeLessThan(0.07);
  });
});
