import { describe, expect, it } from 'vitest';
import { searchBinning } from '../../src/image/search-scale.js';

describe('search binning', () => {
  it('makes a star 1.4 to 2.8 blocks wide', () => {
    for (const scale of [1.5, 2.5, 3.3, 5, 9, 14, 23, 40]) {
      const blocks = scale / searchBinning(scale, false);
      expect(blocks).toBeGreaterThanOrEqual(1.4);
      expect(blocks).toBeLessThan(2.8);
    }
  });
  it('leaves narrow stars on the pixels, and never searches a mosaic pixel by pixel', () => {
    expect(searchBinning(1, false)).toBe(1);
    expect(searchBinning(1, true)).toBe(2);
    expect(searchBinning(400, false)).toBe(32);
  });
});
