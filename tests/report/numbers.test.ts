import { describe, expect, it } from 'vitest';
import * as numbers from '../../src/report/numbers.js';

describe('numbers as text', () => {
  it('reads null and non-finite values as a dash', () => {
    for (const say of [
      numbers.arcsec,
      numbers.pixels,
      numbers.ratio,
      numbers.adu,
      numbers.degrees,
      numbers.duration,
    ]) {
      expect(say(null)).toBe('–');
      expect(say(NaN)).toBe('–');
    }
    expect(numbers.withError(null, 1, 'px')).toBe('–');
    expect(numbers.measured(undefined)).toBe('–');
    expect(numbers.clock('not a time')).toBe('–');
    expect(numbers.day(null)).toBe('–');
  });

  it('writes units, a true minus sign, and no minus zero', () => {
    expect(numbers.arcsec(3.372)).toBe('3.37″');
    expect(numbers.celsius(-10)).toBe('−10.0 °C');
    expect(numbers.fixed(-0.001, 2)).toBe('0.00');
    expect(numbers.signed(0.2, 1)).toBe('+0.2');
    expect(numbers.signed(-0.2, 1)).toBe('−0.2');
    expect(numbers.signed(0.001, 1)).toBe('0.0');
    expect(numbers.percentOf(0.974)).toBe('97 %');
    expect(numbers.measured(-8.2, 'micron/K')).toBe('−8.20 µm/K');
  });

  it('prefers arcseconds and falls back to pixels', () => {
    expect(numbers.size({ px: 2.3, arcsec: 3.36, standardError: null })).toBe('3.36″');
    expect(numbers.size({ px: 2.3, arcsec: null, standardError: null })).toBe('2.30 px');
  });

  it.each([
    [38.2, 4.1, 'micron', '38 ± 4 µm'],
    [1.204, 0.031, '', '1.20 ± 0.03'],
    [2.3456, 0.0123, 'px', '2.346 ± 0.012 px'],
    [1234, 150, 'ADU', '1234 ± 150 ADU'],
    [5, undefined, '°', '5°'],
  ])('rounds %f ± %f %s to what the error allows', (value, error, unit, text) => {
    expect(numbers.withError(value, error, unit)).toBe(text);
  });

  it('gives lengths of time in two units', () => {
    expect([3, 0.5, 89, 720, 3600, 10_200, 400_000].map(numbers.duration)).toEqual([
      '3 s',
      '0.5 s',
      '89 s',
      '12 min',
      '1 h',
      '2 h 50 min',
      '5 days',
    ]);
  });

  it('keeps as many decimals of a sky level as mean something', () => {
    expect([14_487, 803.12, 1.234, 0.01234].map(numbers.adu)).toEqual(['14487', '803.1', '1.23', '0.0123']);
  });

  it('puts a confidence into words', () => {
    expect([0.99, 0.85, 0.7, 0.4].map(numbers.confidenceWords)).toEqual([
      'practically certain',
      'very likely',
      'likely',
      'possible',
    ]);
  });

  it('counts in singular and plural', () => {
    expect([
      numbers.count(1, 'sub'),
      numbers.count(2, 'sub'),
      numbers.count(2, 'galaxy', 'galaxies'),
    ]).toEqual(['1 sub', '2 subs', '2 galaxies']);
  });

  it('one of a thing is not plural, and micrometres have their sign', () => {
    expect(numbers.measured(1, 'frames')).toBe('1 frame');
    expect(numbers.measured(3, 'frames')).toBe('3 frames');
    expect(numbers.measured(1, 'ADU/s')).toBe('1 ADU/s');
    expect(
      numbers.withSigns('3.87" is over 1.25 x the group\'s 2.90", 27 deg, 600 x 400 px, 3 degrees'),
    ).toBe("3.87″ is over 1.25 × the group's 2.90″, 27°, 600 × 400 px, 3 degrees");
    expect(numbers.withSigns('0.8x reducer, x the')).toBe('0.8x reducer, x the');
    expect(numbers.withSigns('moves 14 um per kelvin; um alone, 3 umbras')).toBe(
      'moves 14 µm per kelvin; um alone, 3 umbras',
    );
  });

  it('no error is written as nothing', () => {
    expect(numbers.plusMinus(12.34, 0.5, 1)).toBe('12.3 ± 0.5');
    expect(numbers.plusMinus(215.04, 0.3, 0)).toBe('215.0 ± 0.3');
    expect(numbers.plusMinusSigned(1.5, 0.004, 1)).toBe('+1.500 ± 0.004');
    expect(numbers.plusMinus(55, 1e-6, 2)).toBe('55.0000 ± < 0.0001');
    expect(numbers.plusMinus(null, null, 1)).toBe('– ± –');
  });
});
