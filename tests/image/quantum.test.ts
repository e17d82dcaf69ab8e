import { describe, expect, it } from 'vitest';
import { pixelQuantum } from '../../src/image/quantum.js';
import { planeOf } from '../scenes/plane.js';

describe('step of the pixel values', () => {
  it('is one for plain integers and more for a camera that fills 16 bits with fewer', () => {
    expect(pixelQuantum(planeOf(64, 64, (x, y) => 100 + ((x * 7 + y * 13) % 11)))).toBe(1);
    expect(pixelQuantum(planeOf(64, 64, (x, y) => 1600 + 16 * ((x * 7 + y * 13) % 11)))).toBe(16);
  });
  it('is zero for values without a common step, and where nothing differs', () => {
    expect(pixelQuantum(planeOf(32, 32, (x, y) => Math.sin(x + 3 * y), { asFloat: true }))).toBe(0);
    expect(pixelQuantum(planeOf(32, 32, () => 7))).toBe(0);
    expect(pixelQuantum(planeOf(32, 32, () => NaN, { asFloat: true }))).toBe(0);
  });
});
