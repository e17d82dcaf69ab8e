import { describe, expect, it } from 'vitest';
import { Header } from '../../src/fits/header.js';
import { readScaling } from '../../src/fits/scaling.js';

const header = (...images: string[]): Header =>
  Header.fromText(images.map((image) => image.padEnd(80)).join(''));

describe('readScaling (FITS Standard 4.0, section 4.4.2.5)', () => {
  it('is 1 and 0 without cards, or with a BSCALE that can not be meant', () => {
    expect(readScaling(header(), 16)).toEqual({ bscale: 1, bzero: 0, blank: null });
    expect(readScaling(header('BSCALE  = 0'), 16).bscale).toBe(1);
  });

  it('takes BLANK for integers only', () => {
    const cards = header('BSCALE  = 2.5', 'BZERO   = 32768', 'BLANK   = -32768');
    expect(readScaling(cards, 16)).toEqual({ bscale: 2.5, bzero: 32768, blank: -32768 });
    expect(readScaling(cards, -32).blank).toBeNull();
    expect(readScaling(header('BLANK   = 1.5'), 16).blank).toBeNull();
  });

  it('takes ZBLANK of a compressed image for BLANK', () => {
    expect(readScaling(header('ZIMAGE  = T', 'ZBLANK  = -5'), 16).blank).toBe(-5);
    expect(readScaling(header('ZBLANK  = -5'), 16).blank).toBeNull();
  });
});
