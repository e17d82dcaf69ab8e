import { describe, expect, it } from 'vitest';
import { loadKernels } from '../../src/kernels/load-kernels.js';

describe('loading the kernels', () => {
  it('gives each caller memory of its own', () => {
    const a = loadKernels();
    const b = loadKernels();
    a.memory.grow(4);
    b.memory.grow(4);
    expect(a.memory).not.toBe(b.memory);
    new Uint8Array(a.memory.buffer)[130_000] = 7;
    expect(new Uint8Array(b.memory.buffer)[130_000]).toBe(0);
  });
});
