import { expect, it } from 'vitest';
import { mark, markIndex, markName, markSymbols } from '../../../src/report/plot/marks.js';

it('tells keep from reject by shape: filled against hollow and struck through', () => {
  const { text } = markSymbols();
  const kept = text.slice(text.indexOf('id="k0"'), text.indexOf('id="r0"'));
  const rejected = text.slice(text.indexOf('id="r0"'), text.indexOf('id="k1"'));
  expect(kept).not.toContain('strike');
  expect(rejected).toContain('markrefused');
  expect(rejected).toContain('strike');
});

it('gives six groups six shapes and starts over', () => {
  expect(new Set([0, 1, 2, 3, 4, 5].map(markName)).size).toBe(6);
  expect(markIndex(7)).toBe(1);
});

it('places a mark with its frame', () => {
  expect(mark(10.256, 20, 1, false, 7, 0.5).text.replace(/\n/g, ' ')).toBe(
    '<use class="m" data-f="7" href="#r1" transform="translate(10.26 20) scale(0.5)" />',
  );
});
