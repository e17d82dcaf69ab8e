import { describe, expect, it } from 'vitest';
import { clippingLevel } from '../../src/image/clipping-level.js';
import { planeOf } from '../scenes/plane.js';

const stars = { x: [21, 61, 101], y: [31, 31, 31] };
function frame(top: number, saturation: number | null) {
  return planeOf(
    120,
    60,
    (x, y) => {
      const light = stars.x.reduce(
        (s, sx) => s + 40000 * Math.exp(-((x - sx + 1) ** 2 + (y - 30) ** 2) / 8),
        0,
      );
      return Math.min(top, Math.round(200 + light));
    },
    { saturation },
  );
}

describe('clipping level', () => {
  it('is what the file says when nothing piles up', () => {
    expect(clippingLevel(frame(65535, 60000), stars.x, stars.y, 3)).toBe(60000);
    expect(clippingLevel(frame(65535, null), stars.x, stars.y, 3)).toBeNull();
  });

  it('is found where several stars end flat at the same value', () => {
    const level = clippingLevel(frame(16383, 65535), stars.x, stars.y, 3);
    expect(level).not.toBeNull();
    expect(level!).toBeLessThanOrEqual(16383);
    expect(level!).toBeGreaterThan(16300);
  });
});
