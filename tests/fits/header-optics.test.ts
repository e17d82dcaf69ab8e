import { describe, expect, it } from 'vitest';
import { FieldCollector } from '../../src/fits/header-field.js';
import {
  readBinning,
  readPixelSize,
  readPixelSizeOf,
  readScaleKeyword,
} from '../../src/fits/header-optics.js';
import { headerOf } from './header-sketch.js';

function read<T>(
  reader: (header: ReturnType<typeof headerOf>, fields: FieldCollector) => T,
  ...cards: string[]
): T {
  const header = headerOf(...cards);
  return reader(header, new FieldCollector(header));
}

describe('readBinning', () => {
  it.each([
    [
      ['XBINNING= 3', 'YBINNING= 2'],
      [3, 2],
    ],
    [['XBINNING= 2'], [2, 2]],
    [["CCDSUM  = '2 4     '"], [2, 4]],
    [["BINNING = '2x2'"], [2, 2]],
    [['BINNING = 3'], [3, 3]],
    [['XBINNING= 0'], null],
    [[], null],
  ])('%j', (cards, expected) => expect(read(readBinning, ...cards)).toEqual(expected));
});

describe('readPixelSize', () => {
  it.each([
    [
      ['XPIXSZ  = 3.76', 'YPIXSZ  = 3.77'],
      [3.76, 3.77],
    ],
    [['PIXSIZE1= 0.009 / [mm] pitch'], [9, 9]],
    [['XPIXSZ  = 0'], null],
  ])('%j', (cards, expected) => expect(read(readPixelSize, ...cards)).toEqual(expected));

  it('reads from the comment whether binning is in it', () => {
    expect(readPixelSizeOf(headerOf('XPIXSZ  = 27 / Pixel Width in microns (after binning)'))).toBe(
      'stored-pixel',
    );
    expect(readPixelSizeOf(headerOf('XPIXSZ  = 9 / unbinned pixel size'))).toBe('sensor-pixel');
    expect(readPixelSizeOf(headerOf('XPIXSZ  = 9 / pixel size'))).toBeNull();
  });
});

describe('readScaleKeyword', () => {
  it.each([
    [['PIXSCALE= 0.778 / [arcsec/pixel] Nominal'], 0.778],
    [['SCALE   = 1.46 / arcsec per px'], 1.46],
    [['SCALE   = 3 / factor'], null],
    [['PLTSCALE= 67.2 / arcsec per mm'], null],
    [['PIXSCALE= 0'], null],
  ])('%j', (cards, expected) => expect(read(readScaleKeyword, ...cards)).toBe(expected));
});
