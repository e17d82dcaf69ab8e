import { describe, expect, it } from 'vitest';
import { cardNumber } from '../../src/fits/header-number.js';
import type { CardValue } from '../../src/fits/types.js';

const read = (value: CardValue, comment = ''): ReturnType<typeof cardNumber> =>
  cardNumber({ keyword: 'K', value, comment });

describe('cardNumber', () => {
  it('reads numbers, and strings that hold one with its unit', () => {
    expect(read(300.5, '[s] time')).toEqual({ value: 300.5, unit: 's' });
    expect(read('13 C    ')).toEqual({ value: 13, unit: 'C' });
    expect(read('0,019 mm')).toEqual({ value: 0.019, unit: 'mm' });
    expect(read('1.5D2')).toEqual({ value: 150, unit: null });
    expect(read(2n ** 60n)).toEqual({ value: 2 ** 60, unit: null });
  });

  it.each(['', 'none', '1 2', true, undefined, NaN, { re: 1, im: 0 }])('finds none in %j', (value) => {
    expect(read(value as CardValue)).toBeNull();
  });
});
