import { Script } from 'node:vm';
import { expect, it } from 'vitest';
import { reviewScript, reviewStyle } from '../../../src/report/review/review-script.js';

it('is valid JavaScript that makes no markup from text and asks one address only', () => {
  expect(() => new Script(reviewScript)).not.toThrow();
  expect(reviewScript).not.toMatch(/innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|<\//);
  expect([...reviewScript.matchAll(/fetch\('([^']*)'/g)].map((match) => match[1])).toEqual(['/decision']);
});

it('closes every brace of the style', () => {
  expect(reviewStyle.split('{').length).toBe(reviewStyle.split('}').length);
});
