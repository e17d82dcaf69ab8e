import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { openFits, openFitsBytes } from '../../src/fits/open-fits.js';
import { fitsBytes } from './fits-bytes.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-open-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const mef = Buffer.concat([
  fitsBytes({ axes: [] }),
  fitsBytes({ axes: [40, 30], extension: 'IMAGE', cards: { EXTNAME: "'SCI     '" } }),
  fitsBytes({ bitpix: 8, axes: [8, 2], extension: 'BINTABLE' }),
]);

describe('openFits', () => {
  it('tells what each HDU is', () => {
    const file = openFitsBytes('mef.fits', mef);
    expect(file.hdus.map(({ kind, name, axes }) => [kind, name, axes])).toEqual([
      ['empty', '', []],
      ['image', 'SCI', [40, 30]],
      ['table', '', [8, 2]],
    ]);
    expect(file.warnings).toEqual([]);
  });

  it('reads a file, gzipped or not, whatever its name says', () => {
    const path = join(folder, 'night.fits');
    writeFileSync(path, gzipSync(mef));
    const file = openFits(path);
    expect(file.name).toBe(path);
    expect(file.size).toBeLessThan(mef.length);
    expect(file.hdus).toHaveLength(3);
    file.close();
  });

  it('warns where the structure is doubtful', () => {
    const twice = fitsBytes({ axes: [40, 30] });
    const end = Buffer.from(twice).indexOf('END'.padEnd(80));
    twice.set(Buffer.from('NAXIS1  =                   50'.padEnd(80)), end);
    twice.set(Buffer.from('END'.padEnd(80)), end + 80);
    expect(openFitsBytes('twice.fits', twice).warnings.join()).toMatch(/HDU 0: the image reads as .*40 x 30/);
  });

  it('refuses what is not FITS, naming what it is', () => {
    expect(() => openFitsBytes('a.fits', Buffer.from('PK\x03\x04 etc'))).toThrow(
      /a.fits: is not a FITS file: it is a zip/,
    );
    expect(() => openFitsBytes('b.fits', Buffer.from('hello'))).toThrow(/starts with "hello"/);
  });
});
