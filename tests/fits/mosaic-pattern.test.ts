import { describe, expect, it } from 'vitest';
import { findMosaic } from '../../src/fits/mosaic-pattern.js';
import type { FoundMosaic, SampledPlane } from '../../src/fits/mosaic-pattern.js';
import { seededRandom } from '../scenes/random.js';
import { headerOf } from './header-sketch.js';

/** A noisy sky with one level for each site of the 2 x 2 cell, in storage order. */
function sky(levels: readonly [number, number, number, number], width = 120, height = 100): SampledPlane {
  const { normal } = seededRandom(5);
  const data = new Uint16Array(width * height);
  for (let i = 0; i < data.length; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    data[i] = Math.round(levels[(y & 1) * 2 + (x & 1)]! + 10 * normal());
  }
  return { data, width, height, scale: 1, zero: 0, blankCount: 0 };
}

const grey = sky([1000, 1000, 1000, 1000]);
const rggb = sky([900, 1000, 1000, 1100]);
const cell = (found: FoundMosaic | null): string | undefined => found?.pattern.cell.join('');

describe('findMosaic', () => {
  it('takes BAYERPAT from the first stored row on', () => {
    expect(cell(findMosaic(headerOf("BAYERPAT= 'RGGB'"), 100, rggb))).toBe('RGGB');
    expect(cell(findMosaic(headerOf("FILTER  = 'RGGB'"), 100, rggb))).toBe('RGGB');
  });

  it('shifts by XBAYROFF and YBAYROFF', () => {
    const header = (x: number, y: number): ReturnType<typeof headerOf> =>
      headerOf("BAYERPAT= 'RGGB'", `XBAYROFF= ${x}`, `YBAYROFF= ${y}`);
    expect(cell(findMosaic(header(1, 0), 100, grey))).toBe('GRBG');
    expect(cell(findMosaic(header(0, 1), 100, grey))).toBe('GBRG');
    expect(cell(findMosaic(header(1, 1), 100, grey))).toBe('BGGR');
  });

  it('reads the pattern from the last stored row when ROWORDER says bottom up', () => {
    const header = headerOf("BAYERPAT= 'RGGB'", "ROWORDER= 'BOTTOM-UP'");
    expect(cell(findMosaic(header, 100, grey))).toBe('GBRG');
    expect(cell(findMosaic(header, 101, grey))).toBe('RGGB');
    expect(cell(findMosaic(headerOf("BAYERPAT= 'RGGB'", "ROWORDER= 'TOP-DOWN'"), 100, grey))).toBe('RGGB');
  });

  it('lets a clear sky overrule the header, and says so', () => {
    const found = findMosaic(headerOf("BAYERPAT= 'GBRG'"), 100, rggb)!;
    expect(cell(found)).toBe('RGGB');
    expect(found.note).toMatch(/does not fit the sky levels/);
  });

  it('finds a mosaic that no card names, by its green diagonal', () => {
    expect(cell(findMosaic(headerOf(), 100, rggb))).toBe('RGGB');
    expect(cell(findMosaic(headerOf(), 100, sky([1000, 900, 1100, 1000])))).toBe('GRBG');
    expect(findMosaic(headerOf(), 100, rggb)?.note).toMatch(/names no colour mosaic/);
  });

  it.each([
    ['an even sky', grey],
    ['columns of two amplifiers', sky([1000, 1100, 1000, 1100])],
    ['rows of two amplifiers', sky([1000, 1000, 1100, 1100])],
    ['a chequered offset', sky([1000, 1100, 1100, 1000])],
    ['four different amplifiers', sky([1000, 1050, 1120, 1220])],
    ['too small a picture', sky([900, 1000, 1000, 1100], 20, 20)],
  ])('sees none in %s', (_, plane) => expect(findMosaic(headerOf(), 100, plane)).toBeNull());
});
