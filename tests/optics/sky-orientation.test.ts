import { describe, expect, it } from 'vitest';
import type { LinearWcs } from '../../src/fits/types.js';
import { skyOrientation } from '../../src/optics/sky-orientation.js';

const wcs = (a: number, b: number, c: number, d: number): LinearWcs => ({
  cd: [
    [a, b],
    [c, d],
  ],
  crval: null,
  crpix: null,
  source: 'CD',
});

describe('skyOrientation', () => {
  it('north up, east left is the sky as seen', () => {
    expect(skyOrientation(wcs(-0.001, 0, 0, 0.001))).toEqual({ northDeg: 90, eastDeg: 180, parity: 1 });
  });

  it('east to the right is mirrored', () => {
    expect(skyOrientation(wcs(0.001, 0, 0, 0.001))).toEqual({ northDeg: 90, eastDeg: 0, parity: -1 });
  });

  it('turns with the matrix: CROTA2 of 30 degrees turns north from up to the left', () => {
    // Greisen & Calabretta 2002, section 6.1, with CDELT1 < 0: CD = [[d1 cos, -d2 sin], [d1 sin, d2 cos]].
    const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
    const orientation = skyOrientation(wcs(-c, -s, -s, c));
    // North lies where a pixel step gives dx = 0, dy > 0: along (-b, a) / det.
    expect(orientation.northDeg).toBeCloseTo(120, 9);
    expect(orientation.eastDeg).toBeCloseTo(210, 9);
    expect(orientation.parity).toBe(1);
  });

  it('throws for a singular matrix', () => {
    expect(() => skyOrientation(wcs(1, 1, 1, 1))).toThrow(RangeError);
  });
});
