import { describe, expect, it } from 'vitest';
import { loadKernels } from '../../src/kernels/load-kernels.js';

describe('loading the kernels', () => {
  it('gives each caller memory of its own', () => {
    const a = loadKernels();
    const b = loadKernels();
    a.memory.grow(1);
    b.memory.grow(1);
    expect(a.memory).not.toBe(b.memory);
    new Uint8Array(a.memory.buffer)[60_000] = 7;
    expect(new Uint8Array(b.memory.buffer)[60_000]).toBe(0);
  });

  it('turns the byte order of a file into unsigned numbers', () => {
    const kernels = loadKernels();
    kernels.memory.grow(1);
    // Odd count: eight go as one vector, the rest one by one.
    const values = [-32768, -1, 0, 1, 32767, 258, -300, 12, 5, -5, 77];
    const bytes = new DataView(kernels.memory.buffer);
    values.forEach((v, i) => bytes.setInt16(1024 + 2 * i, v, false));
    kernels.unsignedFromBigEndian(1024, values.length);
    expect([...new Uint16Array(kernels.memory.buffer, 1024, values.length)]).toEqual(
      values.map((v) => v + 32768),
    );
  });
});
