import { describe, expect, it } from 'vitest';
import { cropPlane } from '../../src/fits/crop-plane.js';

describe('cropPlane', () => {
  const section = { x0: 2, y0: 1, width: 3, height: 2, source: 'test' };

  it('keeps the section, row by row, in the same memory', () => {
    const data = Uint16Array.from({ length: 24 }, (_, i) => i);
    const plane = cropPlane({ data, width: 6, height: 4, scale: 2, zero: 1, blankCount: 0 }, section);
    expect([...plane.data]).toEqual([8, 9, 10, 14, 15, 16]);
    expect(plane).toMatchObject({ width: 3, height: 2, scale: 2, zero: 1, blankCount: 0 });
    expect(plane.data.buffer).toBe(data.buffer);
  });

  it('counts blank pixels of the section alone', () => {
    const data = Float32Array.from({ length: 24 }, (_, i) => (i === 0 || i === 9 ? NaN : i));
    expect(
      cropPlane({ data, width: 6, height: 4, scale: 1, zero: 0, blankCount: 2 }, section).blankCount,
    ).toBe(1);
  });
});
