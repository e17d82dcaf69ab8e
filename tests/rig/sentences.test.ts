import { expect, it } from 'vitest';
import { nightsText, plainNumber } from '../../src/rig/sentences.js';

it('numbers for sentences', () => {
  expect(plainNumber(-3.14159, 2)).toBe('−3.14');
  expect(plainNumber(-0.001, 2)).toBe('0.00');
  expect(plainNumber(12, 0)).toBe('12');
  expect(nightsText(1)).toBe('1 night');
  expect(nightsText(0)).toBe('0 nights');
});
