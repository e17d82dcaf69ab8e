import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { createScratch } from './scratch.js';
import { physicalValues, readImage } from '../../src/fits/read-image.js';
import { readPlane } from '../../src/fits/read-plane.js';
import type { PixelPlane } from '../../src/fits/types.js';
import { fitsBytes } from './fits-bytes.js';

const fixtures = fileURLToPath(new URL('../fixtures/fits/', import.meta.url));
const fixture = (name: string): ReturnType<typeof openFitsBytes> =>
  openFitsBytes(name, new Uint8Array(readFileSync(fixtures + name)));
const values = (plane: PixelPlane): number[] => Array.from(plane.data, (v) => v * plane.scale + plane.zero);

// readImage is compared with astropy and cfitsio in tests/reference/fits; the plane has to hold the same values.
describe('a plane holds the physical values of the exact image', () => {
  it.each(['u8', 'i8', 'i16', 'u16', 'i32', 'u32', 'i64', 'f32', 'f64', 'i16-blank', 'u8-blank', 'i16-fractional', 'u16-rice_1-10x7', 'u8-rice_1-rows'])(
    '%s',
    (name) => {
      const file = fixture(`${name}.fits`);
      const hdu = file.hdus.find(({ kind }) => kind === 'image' || kind === 'compressed-image')!;
      const plane = readPlane(file, hdu);
      const exact = physicalValues(readImage(file, hdu));
      const wide = plane.data instanceof Uint16Array;
      const want = Array.from(exact, (v) => (wide ? v : Number.isFinite(v) ? Math.fround(v) : NaN));
      const got = values(plane);
      // Integers with a fractional BSCALE: data * scale + zero rounds once more than stored * BSCALE + BZERO.
      got.forEach((value, i) => {
        if (Number.isNaN(want[i])) expect(value).toBeNaN();
        else expect(Math.abs(value - want[i]!)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(want[i]!)) * 1e3);
      });
      expect(plane.blankCount).toBe(want.filter((v) => Number.isNaN(v)).length);
    },
  );
}); // prettier-ignore

describe('readPlane', () => {
  it('takes the green plane of a colour cube, and says so', () => {
    const file = fixture('colour-cube.fits');
    const plane = readPlane(file, file.hdus[0]!);
    const exact = physicalValues(readImage(file, file.hdus[0]!));
    expect(values(plane)).toEqual([...exact.subarray(41 * 30, 2 * 41 * 30)]);
    expect(plane.notes).toEqual(['three colour planes: the second (green) one is measured']);
  });

  it('takes the green plane of a compressed colour cube', () => {
    const file = fixture('cube-rice.fits');
    const exact = physicalValues(readImage(file, file.hdus[1]!));
    expect(values(readPlane(file, file.hdus[1]!))).toEqual([...exact.subarray(41 * 30, 2 * 41 * 30)]);
  });

  it('reuses its scratch for frames of any type', () => {
    const scratch = createScratch();
    const large = openFitsBytes('a.fits', fitsBytes({ bitpix: -64, axes: [60, 50] }));
    const small = openFitsBytes('b.fits', fitsBytes({ bitpix: 16, axes: [40, 30] }));
    const bytes = openFitsBytes('c.fits', fitsBytes({ bitpix: 8, axes: [40, 30] }));
    readPlane(large, large.hdus[0]!, { scratch });
    const { buffer } = scratch.room(1);
    const plane = readPlane(small, small.hdus[0]!, { scratch });
    expect(plane.data.buffer).toBe(buffer);
    expect(plane.data).toHaveLength(1200);
    expect(values(plane)).toEqual(values(readPlane(small, small.hdus[0]!)));
    expect(values(readPlane(bytes, bytes.hdus[0]!, { scratch }))).toEqual(
      values(readPlane(bytes, bytes.hdus[0]!)),
    );
  });

  it('takes the saturation from the primary header of an extension', () => {
    const parts = [fitsBytes({ axes: [], cards: { SATURATE: '30000' } }), fitsBytes({ extension: 'IMAGE' })];
    const file = openFitsBytes('e.fits', Buffer.concat(parts));
    expect(readPlane(file, file.hdus[1]!).saturation).toBe(30000);
  });

  it('refuses an HDU that holds no picture', () => {
    const file = fixture('one-row.fits');
    expect(() => readPlane(file, file.hdus[0]!)).toThrow(/strip of 41 x 1/);
  });

  it('leaves out the overscan, says so, and keeps the mosaic in step', () => {
    const cards = { TRIMSEC: "'[6:37,2:29]'", BAYERPAT: "'RGGB'" };
    const file = openFitsBytes('o.fits', fitsBytes({ axes: [40, 30], cards, pixel: (i) => i }));
    const plane = readPlane(file, file.hdus[0]!);
    expect([plane.width, plane.height, values(plane)[0], values(plane).at(-1)]).toEqual([
      32,
      28,
      45,
      28 * 40 + 36,
    ]);
    expect(plane.mosaic?.cell.join('')).toBe('BGGR');
    expect(plane.origin).toEqual({ x: 5, y: 1 });
    expect(plane.notes?.join()).toMatch(
      /overscan left out: TRIMSEC = '\[6:37,2:29\]'.*32 x 28 of 40 x 30 pixels/,
    );
  });

  it('leaves out the overscan of a salvaged frame', () => {
    const whole = fitsBytes({ axes: [40, 60], cards: { DATASEC: "'[1:36,3:58]'" }, pixel: (i) => i });
    const file = openFitsBytes('o.fits', whole.subarray(0, 2880 + 40 * 2 * 20));
    expect(readPlane(file, file.hdus[0]!, { salvage: true })).toMatchObject({ width: 36, height: 18 });
    const shorter = openFitsBytes('o.fits', whole.subarray(0, 2880 + 40 * 2 * 9));
    expect(() => readPlane(shorter, shorter.hdus[0]!, { salvage: true })).toThrow(/9 of 60 rows/);
  });
});
