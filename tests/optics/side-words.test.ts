import { expect, it } from 'vitest';
import { sideWords } from '../../src/optics/side-words.js';

it.each([
  [0, 'right'],
  [90, 'top'],
  [212, 'bottom left'],
  [359, 'right'],
  [-90, 'bottom'],
  [495, 'top left'],
])('%f degrees points to the %s', (degrees, words) => {
  expect(sideWords(degrees)).toBe(words);
});
