import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { goldenPageFile, goldenPage } from './golden-page.js';

it('the page of a known night is as it was (a wanted change: npm run golden, and look at the difference)', () => {
  const [was, is] = [readFileSync(goldenPageFile, 'utf8'), goldenPage()].map((page) => page.split('\n'));
  const first = is.findIndex((line, i) => line !== was[i]);
  expect({ line: first, text: is[first] }).toEqual({ line: first, text: was[first] });
  expect(is).toHaveLength(was.length);
});
