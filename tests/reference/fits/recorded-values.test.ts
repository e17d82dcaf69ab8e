import { createHash } from 'node:crypto';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openFits, physicalValues, readImage } from '../../../src/fits/index.js';
import type { CardValue } from '../../../src/fits/index.js';

// Expected values: astropy 5.2.1 and cfitsio (funpack), recorded by record.py beside this file; lossless ones also against the numbers
// that make-files.py put in. Hashes leave no tolerance: every bit has to agree.

interface RecordedImage {
  readonly axes: readonly number[];
  readonly storedSha256: string;
  readonly physicalSha256: string;
  readonly nonFinite: number;
}
interface Recorded {
  readonly readers: readonly string[];
  readonly images: Readonly<Record<string, RecordedImage>>;
}

const fixtures = fileURLToPath(new URL('../../fixtures/fits/', import.meta.url));
const shared = fileURLToPath(new URL('../../../../shared/reference/', import.meta.url));
const expected = JSON.parse(readFileSync(`${fixtures}expected.json`, 'utf8')) as {
  readonly fixtures: Readonly<Record<string, Recorded>>;
  readonly reference: Readonly<Record<string, Recorded>>;
  readonly headerCards: readonly (readonly [string, unknown, string])[];
};
const madeFrom = JSON.parse(readFileSync(`${fixtures}made-from.json`, 'utf8')) as Readonly<
  Record<string, string>
>;

/** SHA-256 of little-endian numbers, every NaN as the default quiet NaN. */
function sha256(numbers: ArrayBufferView & { readonly length: number }): string {
  const bytes = Buffer.from(new Uint8Array(numbers.buffer, numbers.byteOffset, numbers.byteLength));
  if (numbers instanceof Float32Array) {
    numbers.forEach((value, i) => void (Number.isNaN(value) && bytes.writeUInt32LE(0x7fc00000, i * 4)));
  } else if (numbers instanceof Float64Array) {
    numbers.forEach(
      (value, i) => void (Number.isNaN(value) && bytes.writeBigUInt64LE(0x7ff8000000000000n, i * 8)),
    );
  }
  return createHash('sha256').update(bytes).digest('hex');
}

function read(path: string): Map<number, ReturnType<typeof readImage>> {
  const file = openFits(path);
  try {
    const images = file.hdus.filter(
      (hdu) => (hdu.kind === 'image' || hdu.kind === 'compressed-image') && hdu.axes.every((n) => n > 0),
    );
    return new Map(images.map((hdu) => [hdu.index, readImage(file, hdu)]));
  } finally {
    file.close();
  }
}

function compare(path: string, recorded: Recorded): void {
  const images = read(path);
  expect([...images.keys()].map(String)).toEqual(Object.keys(recorded.images));
  for (const [index, image] of images) {
    const want = recorded.images[String(index)]!;
    const physical = physicalValues(image);
    expect(image.axes).toEqual(want.axes);
    expect(sha256(image.stored)).toBe(want.storedSha256);
    expect(sha256(physical)).toBe(want.physicalSha256);
    expect(physical.filter((value) => !Number.isFinite(value)).length).toBe(want.nonFinite);
  }
}

describe('images as astropy and cfitsio read them', () => {
  for (const [name, recorded] of Object.entries(expected.fixtures)) {
    it(`${name} (${recorded.readers.join(' and ')})`, () => compare(fixtures + name, recorded));
  }
});

describe('images as they went in, losslessly', () => {
  for (const [name, sha] of Object.entries(madeFrom)) {
    it(name, () => {
      const [image] = read(fixtures + name).values();
      expect(sha256(image!.stored)).toBe(sha);
    });
  }

  it('covers every fixture that is not lossy', () => {
    const lossy = /dither|plain|lossy|smooth|no-dither|constant|zblank/;
    const files = readdirSync(fixtures).filter((name) => /fits/.test(name));
    const without = files.filter((name) => !(name in madeFrom) && !lossy.test(name));
    expect(without.sort()).toEqual(
      ['after-table.fits', 'extensions.fits', 'header-cards.fits', 'u16.fits.gz'].sort(),
    );
  });
});

describe('header cards as astropy types them', () => {
  it('agrees on keyword, value and comment of every card', () => {
    const file = openFits(`${fixtures}header-cards.fits`);
    const cards = file.hdus[0]!.header.cards.map(({ keyword, value, comment }) => [
      keyword,
      typeof value === 'string' && ['COMMENT', 'HISTORY', ''].includes(keyword) ? value : plain(value),
      comment,
    ]);
    file.close();
    expect(cards).toEqual(expected.headerCards);
  });
});

function plain(value: CardValue): unknown {
  return value === undefined ? null : typeof value === 'bigint' ? { bigint: String(value) } : value;
}

const here = existsSync(shared);
describe.skipIf(!here)(
  here ? 'files of the shared reference' : 'the shared reference data are not here: nothing to compare',
  () => {
    for (const [name, recorded] of Object.entries(expected.reference)) {
      it.skipIf(!existsSync(shared + name))(name, () => compare(shared + name, recorded));
    }
  },
);
