import { describe, expect, it } from 'vitest';
import { scanHdus } from '../../src/fits/scan-hdus.js';
import { bytesSource } from '../../src/fits/source.js';
import type { ByteSource } from '../../src/fits/source.js';
import { fitsBytes, headerFrom } from './fits-bytes.js';

const primary = fitsBytes({ axes: [] });
const extension = fitsBytes({ axes: [40, 30], extension: 'IMAGE' });
const scan = (...parts: Uint8Array[]): ReturnType<typeof scanHdus> =>
  scanHdus(bytesSource('t.fits', Buffer.concat(parts)));

describe('scanHdus', () => {
  it('finds every HDU and where its data start', () => {
    const { hdus, warnings } = scan(primary, extension, extension);
    expect(hdus.map((hdu) => hdu.dataOffset)).toEqual([2880, 5760, 11520]);
    expect(warnings).toEqual([]);
  });

  it('reads headers only, however much data there is', () => {
    const source = bytesSource('t.fits', fitsBytes({ axes: [2000, 500] }));
    let bytes = 0;
    const counting: ByteSource = {
      ...source,
      read: (target, position) => {
        bytes += target.length;
        return source.read(target, position);
      },
    };
    scanHdus(counting);
    expect(bytes).toBeLessThan(20_000);
  });

  it('takes headers of any length', () => {
    const cards = Array.from({ length: 3000 }, (_, i) => `K${i}`.padEnd(8) + `= ${i}`);
    const long = headerFrom(['SIMPLE  =                    T', 'BITPIX  = 8', 'NAXIS   = 0', ...cards]);
    const { hdus } = scan(long);
    expect(hdus[0]!.header.get('K2999')).toBe(2999);
  });

  it('stops with a warning at a broken extension, and keeps what is before it', () => {
    const broken = fitsBytes({ axes: [40, 30], extension: 'IMAGE', cards: { BITPIX: '7' } });
    const { hdus, warnings } = scan(primary, extension, broken);
    expect(hdus).toHaveLength(2);
    expect(warnings.join()).toMatch(/header of HDU 2 \(byte 8640\): BITPIX is '7'/);
  });

  it('warns of truncated data and of what follows the last HDU', () => {
    expect(scan(extension.subarray(0, 0), primary, extension.subarray(0, 4000)).warnings.join()).toMatch(
      /HDU 1 is truncated: 1120 of 2400 bytes/,
    );
    expect(scan(primary, new Uint8Array(5760)).warnings.join()).toMatch(/5760 bytes after the last HDU/);
    expect(scan(primary, new Uint8Array(100)).warnings).toEqual([]);
  });

  it('does not mind data without their padding, or NUL bytes behind END', () => {
    expect(scan(primary, extension.subarray(0, 2880 + 2400)).warnings).toEqual([]);
    const nul = Uint8Array.from(primary);
    nul.fill(0, Buffer.from(nul).indexOf('END') + 3);
    expect(scan(nul).hdus).toHaveLength(1);
  });
});
