import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { FitsFormatError } from '../../src/errors.js';
import { chooseImage, openFits, openFitsBytes, readPlane } from '../../src/fits/index.js';
import { fitsBytes, headerBytes } from './fits-bytes.js';
import { mutate, readAll } from './hostile-files.js';
import { timed } from '../scenes/processor-time.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-hostile-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const fixtures = fileURLToPath(new URL('../fixtures/fits/', import.meta.url));

/** The error of reading a file from end to end. */
function failure(path: string, options: Parameters<typeof openFits>[1] = {}): FitsFormatError {
  try {
    const file = openFits(path, options);
    readPlane(file, chooseImage(file));
  } catch (error) {
    expect(error).toBeInstanceOf(FitsFormatError);
    const typed = error as FitsFormatError;
    expect(typed.message).toContain(path);
    expect(typed.file).toBe(path);
    expect(typed.remedy.length).toBeGreaterThan(10);
    return typed;
  }
  throw new Error(`${path} was read`);
}

function written(name: string, bytes: Uint8Array | string): string {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
}

const picture = (cards: Record<string, string> = {}): Uint8Array =>
  fitsBytes({ bitpix: 16, axes: [40, 30], cards });

describe('what is no file to read', () => {
  it.each([
    ['a folder', () => folder, /folder/],
    ['a missing file', () => join(folder, 'nothing.fits'), /no such file/],
  ])('%s', (_, path, message) => {
    const error = failure(path());
    expect(error.code).toBe('unreadable-file');
    expect(error.message).toMatch(message);
  });

  it('a symbolic link in a circle', () => {
    const path = join(folder, 'loop.fits');
    symlinkSync(path, path);
    expect(failure(path).message).toMatch(/circle/);
  });

  it('a pipe, without waiting for its writer', () => {
    const path = join(folder, 'pipe.fits');
    execFileSync('mkfifo', [path]);
    expect(failure(path).message).toMatch(/pipe/);
  });

  it.skipIf(process.getuid?.() === 0)('a file without permission (not as root)', () => {
    const path = written('secret.fits', picture());
    chmodSync(path, 0);
    expect(failure(path).message).toMatch(/not permitted/);
  });

  it('a path through a file', () => {
    expect(failure(join(written('plain.fits', picture()), 'below.fits')).message).toMatch(/not a folder/);
  });
});

describe('what is no FITS', () => {
  it.each([
    ['zero bytes', '', /empty \(0 bytes\)/],
    ['a text', 'these are notes on the night', /not a FITS file/],
    ['a Git LFS pointer', 'version https://git-lfs.github.com/spec/v1', /Git LFS/],
    ['a bzip2 archive', 'BZh91AY&SY', /bzip2/],
    ['a JPEG picture', Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]), /JPEG/],
    ['gzipped text', gzipSync('these are notes'), /not a FITS file/],
    ['a damaged gzip', Buffer.concat([Buffer.from([0x1f, 0x8b, 8, 0]), Buffer.alloc(40, 7)]), /gzip data/],
  ])('%s', (name, bytes, message) => {
    expect(failure(written(`${name}.fits`, bytes)).message).toMatch(message);
  });
});

describe('broken headers', () => {
  it.each([
    ['BITPIX of 12', { BITPIX: '12' }, /BITPIX is '12'/],
    ['NAXIS of 1000', { NAXIS: '1000' }, /NAXIS is '1000'/],
    ['a negative axis', { NAXIS1: '-40' }, /NAXIS1 is '-40'/],
    ['a fractional axis', { NAXIS1: '40.5' }, /NAXIS1 is '40.5'/],
    ['axes beyond any disk', { NAXIS1: '4294967296', NAXIS2: '4294967296' }, /too large to exist/],
    ['an axis longer than the file', { NAXIS2: '2000000000' }, /of 160000000000 bytes \(0 %\)/],
    ['an empty axis', { NAXIS2: '0' }, /holds no data/],
    ['a single row', { NAXIS2: '1' }, /strip of 40 x 1/],
  ])('%s', (name, cards, message) => {
    expect(failure(written(`${name}.fits`, picture(cards))).message).toMatch(message);
  });

  it('no END card, pixels right behind', () => {
    const bytes = picture();
    bytes.fill(32, bytes.indexOf('END'.charCodeAt(0), 160), 2880);
    const text = Buffer.from(bytes.subarray(0, 2880)).toString('latin1').replace('END', '   ');
    bytes.set(Buffer.from(text, 'latin1'));
    expect(failure(written('no-end.fits', bytes)).message).toMatch(/no END card/);
  });

  it('a header that never ends', () => {
    const path = written(
      'endless.fits',
      Buffer.alloc(9_000_000, 'SIMPLE  =                    T'.padEnd(80)),
    );
    const { result, processorMs } = timed(() => failure(path));
    expect(result.message).toMatch(/no END card within/);
    // No file may keep the program busy for a second.
    expect(processorMs).toBeLessThan(1000);
  });

  it('a header cut short', () => {
    expect(failure(written('cut.fits', picture().slice(0, 300))).message).toMatch(
      /ends at byte 300 inside a header/,
    );
  });
});

describe('truncated data', () => {
  const truncated = picture().slice(0, 2880 + 40 * 2 * 21 + 13);

  it('is refused with how much is there and what to do', () => {
    const error = failure(written('truncated.fits', truncated));
    expect(error.message).toContain('21 of 30 rows');
    expect(error.message).toContain('1693 of 2400 bytes (70 %)');
    expect(error.remedy).toContain('--salvage');
  });

  it('gives the rows that exist with salvage', () => {
    const whole = openFitsBytes('whole.fits', picture());
    const cut = openFitsBytes('cut.fits', truncated);
    const plane = readPlane(cut, chooseImage(cut), { salvage: true });
    expect([plane.width, plane.height]).toEqual([40, 21]);
    expect(plane.data).toEqual(readPlane(whole, chooseImage(whole)).data.subarray(0, 40 * 21));
    expect(plane.notes?.join()).toMatch(/only the first 21 of 30 rows/);
  });

  it('salvages nothing from a few rows', () => {
    const cut = openFitsBytes('cut.fits', truncated.slice(0, 3200));
    expect(() => readPlane(cut, chooseImage(cut), { salvage: true })).toThrow(/4 of 30 rows/);
  });

  it('salvages the tiles before a damaged one, and refuses without', () => {
    const bytes = new Uint8Array(readFileSync(`${fixtures}i16-rice_1-rows.fits`));
    const { dataOffset, structure } = openFitsBytes('whole.fits', bytes).hdus[1]!;
    const file = openFitsBytes('tiles.fits', bytes.slice(0, dataOffset + structure.dataBytes - 700));
    const hdu = chooseImage(file);
    expect(() => readPlane(file, hdu)).toThrow(/tile \d+ of 30 lies outside the heap/);
    const plane = readPlane(file, hdu, { salvage: true });
    expect(plane.height).toBeGreaterThan(8);
    expect(plane.height).toBeLessThan(30);
  });
});

describe('tile tables that lie', () => {
  const bytes = new Uint8Array(readFileSync(`${fixtures}i16-rice_1-10x7.fits`));
  const changed = (keyword: string, value: string): Uint8Array => {
    const out = Uint8Array.from(bytes);
    const at = Buffer.from(out.buffer).indexOf(`${keyword.padEnd(8)}=`);
    out.set(Buffer.from(`${keyword.padEnd(8)}= ${value.padStart(20)}`.padEnd(80)), at);
    return out;
  };

  it.each([
    ['fewer rows than tiles', 'ZTILE2', '1', /rows for \d+ tiles/],
    ['an unknown method', 'ZCMPTYPE', "'SQUEEZE_1'", /SQUEEZE_1, which no standard names/],
    ['a picture far larger than its bytes', 'ZNAXIS2', '2000000000', /claims 41 x 2000000000 pixels/],
    ['an unknown column', 'TFORM1', "'1Y(5)'", /unknown TFORM1/],
    ['a type that is none', 'ZBITPIX', '24', /ZBITPIX 24/],
  ])('%s', (name, keyword, value, message) => {
    expect(failure(written(`${name}.fits`, changed(keyword, value))).message).toMatch(message);
  });

  it('descriptors that point outside the heap', () => {
    const out = Uint8Array.from(bytes);
    const table = Buffer.from(out.buffer).lastIndexOf('END'.padEnd(80));
    const rows = Math.ceil((table + 80) / 2880) * 2880;
    new DataView(out.buffer).setUint32(rows + 4, 0x7fffffff);
    expect(failure(written('outside.fits', out)).message).toMatch(/tile 1 of \d+ lies outside the heap/);
  });
});

describe('decompression bombs', () => {
  it('stops at the limit asked for', () => {
    const path = written('bomb.fits.gz', gzipSync(Buffer.concat([headerBytes({}), Buffer.alloc(4_000_000)])));
    const error = failure(path, { maxInflatedBytes: 1_000_000 });
    expect(error.code).toBe('too-large');
    expect(error.remedy).toMatch(/gunzip/);
  });

  it('stops where the ratio is beyond any exposure, without being asked', () => {
    const path = written(
      'bomb2.fits.gz',
      gzipSync(Buffer.concat([headerBytes({}), Buffer.alloc(80_000_000)])),
    );
    expect(failure(path).code).toBe('too-large');
  });
});

describe('mutated files', () => {
  it('2000 of them end in a result or an error of ours, each within a second', async () => {
    const names = readdirSync(fixtures).filter((name) => name.includes('.fits'));
    const files = names.map((name) => new Uint8Array(readFileSync(fixtures + name)));
    const endings: Record<string, number> = {};
    for (let i = 0; i < 2000; i++) {
      const which = i % files.length;
      const outcome = readAll(names[which]!, mutate(files[which]!, i), i % 2 === 0);
      if (outcome.ending === 'internal') throw new Error(`file ${i} (${names[which]}): ${outcome.message}`);
      expect(outcome.seconds).toBeLessThan(1);
      endings[outcome.ending] = (endings[outcome.ending] ?? 0) + 1;
      // zlib lets go of its buffers on the thread's next turn only.
      if (i % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
    }
    // The mutations leave some files readable and break most: both ends are really met.
    expect(endings.read).toBeGreaterThan(200);
    expect(endings['fits-format']).toBeGreaterThan(200);
  });
});
