import { describe, expect, it } from 'vitest';
import { flipTopBits } from '../../src/fits/flip-top-bits.js';

describe('flipTopBits', () => {
  // Lengths beside the loop's step of eight pixels, at even and odd places of the memory.
  it.each([0, 1, 7, 8, 9, 16, 31])('turns %i signed integers into unsigned ones, 32768 higher', (length) => {
    for (const start of [0, 1]) {
      const memory = new Int16Array(length + 2).fill(77);
      const stored = memory.subarray(start, start + length);
      stored.forEach((_, i) => (stored[i] = [-32768, -1, 0, 1, 32767, 12345][i % 6]!));
      const before = [...stored];
      flipTopBits(stored);
      const after = new Uint16Array(memory.buffer, start * 2, length);
      expect([...after]).toEqual(before.map((value) => value + 32768));
      expect(memory[start + length]).toBe(77);
    }
  });
});
