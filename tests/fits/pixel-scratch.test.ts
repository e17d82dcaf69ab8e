import { describe, expect, it } from 'vitest';
import { createScratch, scratchBuffer } from '../../src/fits/pixel-scratch.js';

describe('scratchBuffer', () => {
  it('grows, and is kept while it is large enough', () => {
    const scratch = createScratch();
    const first = scratchBuffer(1001, scratch);
    expect(first.byteLength).toBe(1008);
    expect(scratchBuffer(500, scratch)).toBe(first);
    expect(scratchBuffer(5000, scratch)).not.toBe(first);
  });

  it('is a new buffer without a scratch', () => {
    expect(scratchBuffer(8, undefined)).not.toBe(scratchBuffer(8, undefined));
  });
});
