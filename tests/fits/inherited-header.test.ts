import { describe, expect, it } from 'vitest';
import { inheritedHeader } from '../../src/fits/inherited-header.js';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { fitsBytes } from './fits-bytes.js';

function inherited(extensionCards: Record<string, string>): ReturnType<typeof inheritedHeader> {
  const cards = { EXPTIME: '30', OBJECT: "'A'", BZERO: '32768', CRVAL1: '5', SATURATE: '40000' };
  const file = openFitsBytes(
    'f.fits',
    Buffer.concat([fitsBytes({ axes: [], cards }), fitsBytes({ extension: 'IMAGE', cards: extensionCards })]),
  );
  return inheritedHeader(file, file.hdus[1]!);
}

describe('inheritedHeader', () => {
  it('adds what the extension lacks, and leaves what it has', () => {
    const header = inherited({ OBJECT: "'B'" });
    expect([header.get('EXPTIME'), header.get('OBJECT'), header.get('SATURATE')]).toEqual([30, 'B', 40000]);
  });

  it('never takes over structure, scaling or the place on the sky', () => {
    const header = inherited({});
    expect([header.has('BZERO'), header.has('CRVAL1'), header.has('SIMPLE'), header.get('NAXIS')]).toEqual([
      false,
      false,
      false,
      2,
    ]);
  });

  it('respects INHERIT = F', () => {
    expect(inherited({ INHERIT: 'F' }).has('EXPTIME')).toBe(false);
  });
});
