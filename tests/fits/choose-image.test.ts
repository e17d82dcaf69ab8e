import { describe, expect, it } from 'vitest';
import { chooseImage, pictureAxes, severalImages } from '../../src/fits/choose-image.js';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { fitsBytes } from './fits-bytes.js';

const file = (...parts: Uint8Array[]): ReturnType<typeof openFitsBytes> =>
  openFitsBytes('f.fits', Buffer.concat(parts));
const empty = fitsBytes({ axes: [] });
const image = (axes: readonly number[]): Uint8Array => fitsBytes({ axes, extension: 'IMAGE' });

describe('chooseImage', () => {
  it('takes the first picture, past empty and one-dimensional HDUs', () => {
    expect(chooseImage(file(empty, image([400]), image([40, 30]), image([50, 30]))).index).toBe(2);
  });

  it('takes three colour planes and trailing axes of one', () => {
    expect(chooseImage(file(fitsBytes({ axes: [40, 30, 3] }))).index).toBe(0);
    const hdu = chooseImage(file(fitsBytes({ axes: [40, 30, 1, 1] })));
    expect(pictureAxes(hdu)).toEqual([40, 30]);
  });

  it('takes the HDU asked for', () => {
    const two = file(empty, image([40, 30]), image([50, 30]));
    expect(chooseImage(two, 2).axes).toEqual([50, 30]);
    expect(() => chooseImage(two, 0)).toThrow(/HDU 0 holds no data/);
    expect(() => chooseImage(two, 3)).toThrow(/HDU 3 does not exist \(the file has HDU 0 to 2\)/);
  });

  it.each([
    [[40, 1], /strip of 40 x 1/],
    [[4, 400], /strip of 4 x 400/],
    [[40, 30, 5], /cube of 40 x 30 x 5/],
    [[400], /one axis only/],
  ])('says why %j can not be measured', (axes, message) => {
    expect(() => chooseImage(file(fitsBytes({ axes })))).toThrow(message);
  });

  it('names what each HDU is when none will do', () => {
    expect(() =>
      chooseImage(file(empty, fitsBytes({ bitpix: 8, axes: [8, 2], extension: 'TABLE' }))),
    ).toThrow(/HDU 0 holds no data, HDU 1 is a table/);
  });

  it('says which of several images is measured', () => {
    const several = file(empty, image([40, 30]), image([400]), image([50, 30]));
    expect(severalImages(several, chooseImage(several))).toBe(
      '2 images in the file: that of HDU 1 is measured (--hdu chooses; others: 3)',
    );
    const single = file(empty, image([40, 30]), image([400]));
    expect(severalImages(single, chooseImage(single))).toBeNull();
  });
});
