import { describe, expect, it } from 'vitest';
import { bilinear, lineContrast } from '../../src/image/line-contrast.js';

const signal = {
  bin: 1,
  columns: 60,
  rows: 50,
  values: Float32Array.from({ length: 3000 }, (_, k) => (Math.floor(k / 60) === 20 ? 9 : 1)),
};

describe('contrast along a line', () => {
  it('is the light on it over the light beside it', () => {
    const walk = lineContrast(signal, { theta: Math.PI / 2, rho: 20 });
    expect(walk.contrast.length).toBeGreaterThan(50);
    // On the line 9, two thirds of a block beside it between 9 and 1; beside 1.
    for (const c of walk.contrast) expect(c).toBeGreaterThan(3);
    const elsewhere = lineContrast(signal, { theta: Math.PI / 2, rho: 35 });
    for (const c of elsewhere.contrast) expect(Math.abs(c)).toBeLessThan(1e-6);
  });

  it('is read between blocks, and is NaN outside', () => {
    expect(bilinear(signal, 10, 19.5)).toBeCloseTo(5, 6);
    expect(bilinear(signal, -1, 3)).toBeNaN();
  });
});
