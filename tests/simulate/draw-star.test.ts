import { describe, expect, it } from 'vitest';
import { boxAround, boxesBeside, drawStar } from '../../src/simulate/draw-star.js';
import { makePixelStar } from '../../src/simulate/pixel-star.js';
import { gaussianProfile } from '../../src/simulate/seeing-profile.js';

const star = makePixelStar(gaussianProfile(2.6), 14);
const at = (x: number, y: number, landX: number[], landY: number[], reach = 30, stride = 1): Float32Array => {
  const image = new Float32Array(40 * 30);
  const box = boxAround(40, 30, x, y, reach);
  drawStar(image, 40, box, x, y, 1000, Float64Array.from(landX), Float64Array.from(landY), stride, star);
  return image;
};
const sum = (image: Float32Array, weight: (x: number, y: number) => number = () => 1): number =>
  image.reduce((total, value, k) => total + value * weight((k % 40) + 1, Math.floor(k / 40) + 1), 0);

describe('drawStar', () => {
  it('keeps the flux and puts the centroid where it was asked for', () => {
    const image = at(20.3, 15.8, [0], [0]);
    expect(sum(image)).toBeCloseTo(1000, 1);
    expect(sum(image, (x) => x) / sum(image)).toBeCloseTo(20.3, 3);
    expect(sum(image, (_x, y) => y) / sum(image)).toBeCloseTo(15.8, 3);
  });

  it('shares the flux between rays: variance of seeing, pixel and spread add up', () => {
    const image = at(20, 15, [-2, 2], [1, -1]);
    const variance = 2.6 ** 2 / (8 * Math.LN2) + 1 / 12;
    const xx = sum(image, (x) => (x - 20) ** 2) / 1000;
    // Interpolation between samples adds at most 1/4 of a sample squared.
    expect(Math.abs(xx - (variance + 4))).toBeLessThan(1 / (4 * star.phases ** 2));
  });

  it('keeps the flux when only some of the rays are used', () => {
    expect(sum(at(20, 15, [-1, 0, 1], [0, 0, 0], 30, 2))).toBeCloseTo(1000, 1);
  });

  it('draws the part of a star that lies on the image, and nothing of one far outside', () => {
    expect(sum(at(0.5, 15, [0], [0]))).toBeCloseTo(500, 0);
    expect(sum(at(-200, 15, [0], [0]))).toBe(0);
  });

  it('leaves pixels beyond the reach untouched', () => {
    const image = at(20, 15, [0], [0], 3);
    expect(image[14 * 40 + 19 + 4]).toBe(0);
    expect(image[14 * 40 + 19 + 3]).toBeGreaterThan(0);
  });
});

describe('boxesBeside', () => {
  it('covers each pixel of the outer box once, the inner box left out', () => {
    const outer = { left: 1, right: 20, bottom: 3, top: 17 };
    for (const inner of [
      { left: 5, right: 9, bottom: 6, top: 8 },
      { left: 1, right: 20, bottom: 3, top: 10 },
      { left: 1, right: 4, bottom: 3, top: 17 },
    ]) {
      const count = new Map<string, number>();
      for (const box of [inner, ...boxesBeside(outer, inner)]) {
        for (let y = box.bottom; y <= box.top; y++) {
          for (let x = box.left; x <= box.right; x++)
            count.set(`${x},${y}`, (count.get(`${x},${y}`) ?? 0) + 1);
        }
      }
      expect(count.size).toBe(20 * 15);
      expect([...count.values()].every((n) => n === 1)).toBe(true);
    }
  });
});
