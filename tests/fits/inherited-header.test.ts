import { describe, expect, it } from 'vitest';
import { inheritedHeader } from '../../src/fits/inherited-header.js';
import { readFrameHeader } from '../../src/fits/frame-header.js';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { readPlane } from '../../src/fits/read-plane.js';
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

  it('gives a number without a unit the unit of the primary header', () => {
    const primary = fitsBytes({
      axes: [],
      cards: { GAIN: '0.0 / [electrons/count] gain', OBJECT: "'A' / [x]" },
    });
    const extension = fitsBytes({
      extension: 'IMAGE',
      cards: { GAIN: '6.42 / Pixel gain', RDNOISE: '9.0 / [ADU]', OBJECT: "'B'" },
    });
    const file = openFitsBytes('f.fits', Buffer.concat([primary, extension]));
    const header = inheritedHeader(file, file.hdus[1]!);
    expect(header.card('GAIN')).toMatchObject({ value: 6.42, comment: '[electrons/count] Pixel gain' });
    expect(header.card('RDNOISE')?.comment).toBe('[ADU]');
    expect(readFrameHeader(file, file.hdus[1]!)).toMatchObject({ electronsPerAdu: 6.42, object: 'B' });
  });

  it('leaves the sections of the primary header alone: they are about other pixels', () => {
    const parts = [
      fitsBytes({ axes: [], cards: { TRIMSEC: "'[1:20,1:20]'", DATASEC: "'[1:20,1:20]'" } }),
      fitsBytes({ extension: 'IMAGE' }),
    ];
    const file = openFitsBytes('f.fits', Buffer.concat(parts));
    expect(inheritedHeader(file, file.hdus[1]!).has('TRIMSEC')).toBe(false);
    expect(readPlane(file, file.hdus[1]!).width).toBe(40);
  });
});
