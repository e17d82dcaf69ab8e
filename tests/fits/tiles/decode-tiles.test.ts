import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openFitsBytes } from '../../../src/fits/open-fits.js';
import { decodeTiles } from '../../../src/fits/tiles/decode-tiles.js';
import type { CompressedPicture } from '../../../src/fits/tiles/decode-tiles.js';

const fixtures = fileURLToPath(new URL('../../fixtures/fits/', import.meta.url));

function picture(name: string): CompressedPicture {
  const bytes = new Uint8Array(readFileSync(fixtures + name));
  const { header, axes, bitpix, dataOffset, structure } = openFitsBytes(name, bytes).hdus[1]!;
  return { header, axes, bitpix, bytes: bytes.subarray(dataOffset, dataOffset + structure.dataBytes) };
}

// Whole pictures are compared with astropy and cfitsio in tests/reference/fits.
describe('decodeTiles', () => {
  it.each([
    'i16-rice_1-rows.fits',
    'i16-rice_1-10x7.fits',
    'i16-gzip_1-10x7.fits',
    'i16-hcompress_1-whole.fits',
  ])('of %s gives the same numbers for the same picture', (name) => {
    const out = new Int16Array(41 * 30);
    const want = new Int16Array(41 * 30);
    decodeTiles(picture('i16-gzip_2-10x7.fits'), 0, want);
    expect(decodeTiles(picture(name), 0, out)).toEqual({ pixels: 41 * 30, problem: null });
    expect(out).toEqual(want);
  });

  it('gives a part of the picture: one plane of a cube', () => {
    const cube = picture('cube-rice.fits');
    const whole = new Int16Array(3 * 41 * 30);
    const plane = new Int16Array(41 * 30);
    decodeTiles(cube, 0, whole);
    decodeTiles(cube, 41 * 30, plane);
    expect(plane).toEqual(whole.subarray(41 * 30, 2 * 41 * 30));
  });

  it('stops at a damaged tile and says how many pixels before it are sound', () => {
    const rows = picture('i16-rice_1-rows.fits');
    const bytes = Uint8Array.from(rows.bytes);
    new DataView(bytes.buffer).setUint32(12 * 8 + 4, 0x7fffffff);
    const outcome = decodeTiles({ ...rows, bytes }, 0, new Int16Array(41 * 30));
    expect(outcome.pixels).toBe(12 * 41);
    expect(outcome.problem).toMatch(/^tile 13 of 30 lies outside the heap/);
  });
});
