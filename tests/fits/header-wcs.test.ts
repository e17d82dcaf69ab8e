import { describe, expect, it } from 'vitest';
import { readLinearWcs } from '../../src/fits/header-wcs.js';
import type { LinearWcs } from '../../src/fits/types.js';
import { headerOf } from './header-sketch.js';

const sky = ["CTYPE1  = 'RA---TAN-SIP'", "CTYPE2  = 'DEC--TAN-SIP'"];
const wcs = (...cards: string[]): LinearWcs => readLinearWcs(headerOf(...cards)) as LinearWcs;

describe('readLinearWcs (FITS Standard 4.0, section 8; Greisen & Calabretta 2002)', () => {
  it('takes CDi_j, missing elements being 0', () => {
    expect(wcs(...sky, 'CD1_1   = -0.001', 'CD2_2   = 0.001', 'CRVAL1  = 10', 'CRVAL2  = 20')).toEqual({
      cd: [
        [-0.001, 0],
        [0, 0.001],
      ],
      crval: [10, 20],
      crpix: null,
      source: 'CD',
    });
  });

  it('turns PC with CDELT, and CROTA2 with CDELT, into the same matrix', () => {
    const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
    const cdelt = ['CDELT1  = -0.002', 'CDELT2  = 0.001'];
    const rotated = wcs(...sky, ...cdelt, 'CROTA2  = 30');
    // CROTA2: CD = [[d1 cos, -d2 sin], [d1 sin, d2 cos]]; PC carries the ratio of the two steps.
    const pc = wcs(
      ...sky,
      ...cdelt,
      `PC1_1   = ${c}`,
      `PC1_2   = ${s / 2}`,
      `PC2_1   = ${-2 * s}`,
      `PC2_2   = ${c}`,
    );
    expect([rotated.source, pc.source]).toEqual(['CDELT+CROTA2', 'PC+CDELT']);
    for (const [i, j] of [
      [0, 0],
      [0, 1],
      [1, 0],
      [1, 1],
    ] as const) {
      expect(pc.cd[i][j]).toBeCloseTo(rotated.cd[i][j], 12);
    }
    expect(wcs(...sky, ...cdelt).source).toBe('CDELT');
  });

  it('puts longitude first when the axes are the other way round, and reads units', () => {
    const swapped = wcs("CTYPE1  = 'DEC--TAN'", "CTYPE2  = 'RA---TAN'", 'CD1_1   = 3.6', 'CD2_2   = 7.2',
      "CUNIT1  = 'arcsec'", "CUNIT2  = 'arcsec'"); // prettier-ignore
    expect(swapped.cd[0][0]).toBe(0);
    expect(swapped.cd[0][1]).toBeCloseTo(0.002, 15);
    expect(swapped.cd[1][0]).toBeCloseTo(0.001, 15);
  });

  it.each([
    [['CD1_1   = 0.001', 'CD2_2   = 0.001'], /no celestial/],
    [["CTYPE1  = 'WAVE'", "CTYPE2  = 'LINEAR'", 'CDELT1  = 1', 'CDELT2  = 1'], /no celestial/],
    [[...sky], /without CDi_j or CDELT/],
    [[...sky, 'CD1_1   = 0.001'], /singular/],
  ])('says why there is none: %j', (cards, reason) => {
    expect(readLinearWcs(headerOf(...cards))).toEqual({ problem: expect.stringMatching(reason) as string });
  });
});
