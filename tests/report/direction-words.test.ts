import { expect, it } from 'vitest';
import { directionWords } from '../../src/report/direction-words.js';

it.each([
  [0, 'right'],
  [90, 'top'],
  [212, 'lower left'],
  [359, 'right'],
  [-90, 'bottom'],
  [495, 'upper left'],
])('%f degrees points to the %s', (degrees, words) => {
  expect(directionWords(degrees)).toBe(words);
});
