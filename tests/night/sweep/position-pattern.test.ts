import { describe, expect, it } from 'vitest';
import { UsageError } from '../../../src/errors.js';
import { likelyPattern, positionInName } from '../../../src/night/sweep/position-pattern.js';

describe('position in a file name', () => {
  it('stands where the pattern says, signs, decimals and brackets included', () => {
    expect(positionInName('run(1)_pos-12.5_x.fits', 'pos{step}_')).toBe(-12.5);
    expect(positionInName('run(1)_pos40_x.fits', 'run(1)_pos{step}')).toBe(40);
    expect(positionInName('light_001.fits', 'pos{step}')).toBeNull();
  });

  it('needs a place for the number', () => {
    expect(() => positionInName('a.fits', 'focus')).toThrow(UsageError);
  });
});

describe('likely pattern', () => {
  it('is the number that differs and does not just count the files', () => {
    const files = [11800, 11900, 12000].map((step, i) => `run/s_00${i + 1}_foc${step}_L.fits`);
    expect(likelyPattern(files)).toBe('_foc{step}_L.fits');
    expect(positionInName(files[1]!, likelyPattern(files)!)).toBe(11900);
  });

  it.each([
    ['nothing but a count', ['sub_001.fits', 'sub_002.fits', 'sub_003.fits']],
    ['two numbers that differ', ['s10_f200.fits', 's30_f250.fits', 's50_f300.fits']],
    ['one file', ['foc12000.fits']],
    ['names of different build', ['foc12000.fits', 'foc12100_b20.fits']],
    ['no file', []],
  ])('is none for %s', (_, files) => {
    expect(likelyPattern(files)).toBeNull();
  });
});
