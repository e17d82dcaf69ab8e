import { describe, expect, it } from 'vitest';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { readStoredPixels, typedView } from '../../src/fits/stored-image.js';
import { fitsBytes } from './fits-bytes.js';

describe('readStoredPixels', () => {
  it.each([8, 16, 32, 64, -32, -64])('reads a stretch of BITPIX %i in native order', (bitpix) => {
    const file = openFitsBytes('a.fits', fitsBytes({ bitpix, pixel: (i) => i % 200 }));
    const { stored, problem } = readStoredPixels(file, file.hdus[0]!, 150, 100);
    expect(Array.from(stored, Number)).toEqual(Array.from({ length: 100 }, (_, i) => (150 + i) % 200));
    expect(problem).toBeNull();
  });

  it('gives what there is of a truncated image, with the problem', () => {
    const file = openFitsBytes('a.fits', fitsBytes({}).slice(0, 2880 + 201));
    const { stored, problem } = readStoredPixels(file, file.hdus[0]!, 0, 1200);
    expect(stored).toHaveLength(100);
    expect(problem).toMatch(/201 of 2400 bytes \(8 %\)/);
  });
});

describe('typedView', () => {
  it('throws for a BITPIX that is none', () => {
    expect(() => typedView(new Uint8Array(8), 0, 1, 24)).toThrow(RangeError);
  });
});
