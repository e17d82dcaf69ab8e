import { expect, it } from 'vitest';
import { compareNatural } from '../../src/night/natural-order.js';

it('compareNatural counts like people and is a total order', () => {
  expect(['sub_10', 'sub_2', 'Sub_1', 'sub_02'].sort(compareNatural)).toEqual([
    'Sub_1',
    'sub_02',
    'sub_2',
    'sub_10',
  ]);
  expect(compareNatural('a', 'A')).not.toBe(0);
  expect(compareNatural('a', 'a')).toBe(0);
});
