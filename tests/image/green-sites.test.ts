import { describe, expect, it } from 'vitest';
import { greenParity } from '../../src/image/green-sites.js';

describe('green sites of a mosaic', () => {
  it('lie on one diagonal of the cell', () => {
    expect(greenParity({ cell: ['R', 'G', 'G', 'B'], source: 'test' })).toBe(1);
    expect(greenParity({ cell: ['G', 'B', 'R', 'G'], source: 'test' })).toBe(0);
  });
  it('do not exist on a monochrome plane', () => {
    expect(greenParity(null)).toBeNull();
  });
  it('are refused when they do not lie on a diagonal', () => {
    expect(() => greenParity({ cell: ['G', 'G', 'R', 'B'], source: 'test' })).toThrow(RangeError);
  });
});
