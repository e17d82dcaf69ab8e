import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { brightestFirst } from '../../src/stats/brightest-first.js';

describe('brightest first', () => {
  it('is the order of a stable sort', () => {
    const fluxes = fc.array(
      fc.integer({ min: 1, max: 1e7 }).map((v) => v / 8),
      { maxLength: 200 },
    );
    fc.assert(
      fc.property(fluxes, (flux) => {
        const plain = [...flux.keys()].sort((a, b) => flux[b] - flux[a] || a - b);
        expect([...brightestFirst(flux)]).toEqual(plain);
      }),
    );
  });

  it('holds for a long list over many magnitudes', () => {
    const flux = Array.from({ length: 1000 }, (_, k) => 10 ** (-20 + k / 25));
    expect([...brightestFirst(flux)]).toEqual([...flux.keys()].reverse());
  });
});
