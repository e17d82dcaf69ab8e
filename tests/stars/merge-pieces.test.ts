import { describe, expect, it } from 'vitest';
import { mergePieces } from '../../src/stars/merge-pieces.js';

const sources = {
  count: 4,
  // A trailed star in two pieces 6 px apart along x, a neighbour 6 px off across, and a lone star.
  x: Float64Array.of(50, 56, 50, 90),
  y: Float64Array.of(50, 50, 56, 90),
  flux: Float64Array.of(9, 8, 7, 6),
  snr: Float64Array.of(90, 80, 70, 60),
  scalePx: 5,
  hotPixels: 0,
};

describe('merging pieces', () => {
  it('joins peaks along the trail, not across it', () => {
    const merged = mergePieces(sources, { xx: 10, xy: 0, yy: 2 });
    expect([...merged.x]).toEqual([50, 50, 90]);
    expect([...merged.snr]).toEqual([90, 70, 60]);
    expect(merged.count).toBe(3);
  });
  it('leaves sharp round stars alone', () => {
    expect(mergePieces(sources, { xx: 1.5, xy: 0, yy: 1.5 })).toBe(sources);
  });
});
