import { describe, expect, it } from 'vitest';
import { Header } from '../../src/fits/header.js';
import { saturationLevel } from '../../src/fits/saturation.js';

const header = (...images: string[]): Header =>
  Header.fromText(images.map((image) => image.padEnd(80)).join(''));

describe('saturationLevel', () => {
  it('is the top of the integer range without a keyword', () => {
    expect(saturationLevel(header(), 16, 1, 0)).toBe(65535);
    expect(saturationLevel(header(), 16, 1, -32768)).toBe(32767);
    expect(saturationLevel(header(), 8, 2, 10)).toBe(520);
    expect(saturationLevel(header(), -32, 1, 0)).toBeNull();
    expect(saturationLevel(header(), 16, -1, 0)).toBeNull();
  });

  it('follows SATURATE, not a DATAMAX that is the maximum of this frame', () => {
    expect(saturationLevel(header('SATURATE= 40000'), 16, 1, 0)).toBe(40000);
    expect(saturationLevel(header('DATAMAX = 51234 / maximum of the data'), 16, 1, 0)).toBe(65535);
    expect(saturationLevel(header('DATAMAX = 51234 / saturation level'), 16, 1, 0)).toBe(51234);
  });

  it('leaves out a level above what the integers can hold', () => {
    expect(saturationLevel(header('SATURATE= 400000'), 16, 1, 0)).toBe(65535);
  });
});
