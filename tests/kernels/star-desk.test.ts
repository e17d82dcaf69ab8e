import { describe, expect, it } from 'vitest';
import { loadKernels } from '../../src/kernels/load-kernels.js';
import { deskSize, layOutDesk } from '../../src/kernels/star-desk.js';

describe('star desk', () => {
  it('has room that does not overlap, for vectors that run over the end too', () => {
    const kernels = loadKernels();
    const { room, bytes } = deskSize(100);
    const start = 64 * 1024;
    kernels.memory.grow(Math.ceil((start + bytes) / 65536));
    const desk = layOutDesk(kernels, start, room);
    desk.numbers.fill(1);
    desk.values.fill(2);
    desk.usable.fill(3);
    desk.lines.forEach((line, k) => line.fill(10 + k));
    expect(new Set(desk.numbers)).toEqual(new Set([1]));
    expect(new Set(desk.values)).toEqual(new Set([2]));
    expect(new Set(desk.usable)).toEqual(new Set([3]));
    desk.lines.forEach((line, k) => {
      expect(new Set(line)).toEqual(new Set([10 + k]));
      expect(line.byteOffset).toBe(desk.linesAt[k]);
    });
    const ends = [desk.usableAt, ...desk.linesAt, start + bytes].slice(1);
    [desk.usableAt + room, ...desk.linesAt.map((at) => at + 4 * room)].forEach((end, k) =>
      expect(ends[k] - end).toBeGreaterThanOrEqual(16),
    );
  });

  it('comes in steps of room', () => {
    expect(deskSize(1)).toEqual(deskSize(4096));
    expect(deskSize(4097).room).toBe(8192);
  });
});
