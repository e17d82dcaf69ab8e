import { describe, expect, it } from 'vitest';
import { layWindow, starDesk } from '../../src/kernels/star-desk.js';

describe('star desk', () => {
  it('is the same as long as it is large enough, with room that does not overlap', () => {
    const desk = starDesk(100);
    expect(starDesk(50)).toBe(desk);
    desk.numbers.fill(1);
    desk.values.fill(2);
    desk.usable.fill(3);
    desk.lines.forEach((line, k) => line.fill(10 + k));
    expect(new Set(desk.numbers)).toEqual(new Set([1]));
    expect(new Set(desk.values)).toEqual(new Set([2]));
    expect(new Set(desk.usable)).toEqual(new Set([3]));
    desk.lines.forEach((line, k) => expect(new Set(line)).toEqual(new Set([10 + k])));
  });

  it('grows', () => {
    const { room } = starDesk(1);
    expect(starDesk(room + 1).room).toBeGreaterThan(room);
  });

  it('takes a window', () => {
    const desk = layWindow(Float32Array.of(1, 2, 3), Uint8Array.of(1, 0, 1), 2);
    expect([...desk.values.subarray(0, 2)]).toEqual([1, 2]);
    expect([...desk.usable.subarray(0, 2)]).toEqual([1, 0]);
  });
});
