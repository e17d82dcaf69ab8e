import { describe, expect, it } from 'vitest';
import {
  forEachWeighted,
  plainAdaptiveMoments,
  plainLook,
  type PlainLimits,
  type PlainTensor,
} from './plain-moments.js';
import { onDesk, testWindow, type TestWindow } from './star-window.js';

const pedestal = 3;
const [variance, photonFactor] = [100, 0.7];
const limits: PlainLimits = {
  narrowest: 1.1,
  rounds: 30,
  restChange: 1e-4,
  restShift: 1e-3,
  farthest: 6,
  widest: 8,
};

/** What the kernel finds: the first 15 numbers, or null. */
function adaptiveMoments(
  window: TestWindow,
  { xx, xy, yy }: PlainTensor,
  within: PlainLimits = limits,
): number[] | null {
  const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk(window);
  const isSettled = kernels.adaptiveMoments(
    valuesAt,
    usableAt,
    window.width,
    window.height,
    window.x,
    window.y,
    xx,
    xy,
    yy,
    within.narrowest,
    within.rounds,
    within.restChange,
    within.restShift,
    within.farthest,
    within.widest,
    pedestal,
    variance,
    photonFactor,
    numbersAt,
  );
  return isSettled ? [...numbers.subarray(0, 15)] : null;
}

const start = { xx: 5.3, xy: 0.4, yy: 4.7 };

describe('one look through a Gaussian weight', () => {
  it.each([1, 2, 3, 4, 5, 6])('is that of plain loops in doubles (window %i)', (seed) => {
    const window = testWindow(seed);
    const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk(window);
    const { width, height, x, y } = window;
    const { xx, xy, yy } = start;
    expect(
      kernels.momentsUnder(valuesAt, usableAt, width, height, x, y, xx, xy, yy, pedestal, numbersAt),
    ).toBe(1);
    const plain = plainLook(window, x, y, start, pedestal);
    // 32-bit floats: 2^-24 for each of some hundred terms, and a difference of two inverses.
    expect(numbers[0] / plain.s - 1).toBeCloseTo(0, 5);
    [plain.dx, plain.dy, plain.star!.xx, plain.star!.xy, plain.star!.yy].forEach((value, k) =>
      expect(numbers[k + 1]).toBeCloseTo(value, 4),
    );
  });

  it('finds no extent in a single pixel and no light under the pedestal', () => {
    const window = testWindow(1);
    const hot = new Float32Array(window.values.length).fill(pedestal);
    const at = Math.round(window.y) * window.width + Math.round(window.x);
    hot[at] = 1000;
    const look = (values: Float32Array): [number, number] => {
      const { kernels, valuesAt, usableAt, numbers, numbersAt } = onDesk({
        values,
        usable: new Uint8Array(values.length).fill(1),
      });
      const { width, height, x, y } = window;
      const isThere = kernels.momentsUnder(
        valuesAt,
        usableAt,
        width,
        height,
        x,
        y,
        ...[5, 0, 5],
        pedestal,
        numbersAt,
      );
      return [isThere, numbers[0]];
    };
    const [hasExtent, light] = look(hot);
    expect(hasExtent).toBe(0);
    expect(light).toBeGreaterThan(500);
    expect(look(hot.map(() => 0))[0]).toBe(0);
  });
});

describe('the weight that matches a star', () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])('is that of plain steps in doubles (window %i)', (seed) => {
    const window = testWindow(seed);
    const found = adaptiveMoments(window, start)!;
    const plain = plainAdaptiveMoments(window, start, limits, pedestal)!;
    const { star, weight } = plain;
    [plain.x, plain.y, star.xx, star.xy, star.yy, weight.xx, weight.xy, weight.yy].forEach((value, k) =>
      expect(found[k]).toBeCloseTo(value, 3),
    );
  });

  it.each([1, 2, 3])('comes with the sums for errors and third moments (window %i)', (seed) => {
    const window = testWindow(seed);
    const found = adaptiveMoments(window, start)!;
    const [x, y, xx, , yy, wxx, wxy, wyy] = found;
    const half = (wxx + wyy) / 2;
    const product = (half * ((xx + yy) / 2)) / (half + (xx + yy) / 2);
    const plain = [0, 0, 0, 0, 0, 0, 0];
    const size = [0, 0, 0, 0, 0, 0, 0];
    forEachWeighted(window, x, y, { xx: wxx, xy: wxy, yy: wyy }, (w, value, dx, dy) => {
      const v = value - pedestal;
      const noise = w * w * (variance + photonFactor * Math.max(0, v));
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
    plain.forEach((value, k) => expect(Math.abs(found[8 + k] - value) / size[k]).toBeLessThan(3e-6));
  });

  it('is no narrower than it may be', () => {
    const window = testWindow(2);
    const wide = { ...limits, narrowest: 6 };
    const found = adaptiveMoments(window, start, wide)!;
    const plain = plainAdaptiveMoments(window, start, wide, pedestal)!;
    expect(found[5]).toBeGreaterThan(6 - 1e-9);
    expect(found[2]).toBeLessThan(5);
    expect(found[2]).toBeCloseTo(plain.star.xx, 3);
  });

  it('is none beyond its limits', () => {
    const window = testWindow(3);
    for (const narrower of [{ rounds: 1 }, { widest: 1.5 }, { farthest: 1e-6 }]) {
      expect(plainAdaptiveMoments(window, start, { ...limits, ...narrower }, pedestal)).toBeNull();
      expect(adaptiveMoments(window, start, { ...limits, ...narrower })).toBeNull();
    }
    const dark = { ...window, values: window.values.map(() => 0) };
    expect(adaptiveMoments(dark, start)).toBeNull();
  });
});
