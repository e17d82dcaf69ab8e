import { describe, expect, it } from 'vitest';
import { scratchBytes } from '../../src/fits/pixel-scratch.js';
import { createScratch } from './scratch.js';

describe('scratchBytes', () => {
  it('grows, and is kept while it is large enough', () => {
    const scratch = createScratch();
    const first = scratchBytes(1001, scratch);
    expect(first.byteLength).toBe(1008);
    expect(scratchBytes(500, scratch).buffer).toBe(first.buffer);
    expect(scratchBytes(5000, scratch).buffer).not.toBe(first.buffer);
  });

  it('is new memory without a scratch', () => {
    expect(scratchBytes(8, undefined).buffer).not.toBe(scratchBytes(8, undefined).buffer);
  });
});
