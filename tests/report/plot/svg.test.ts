import { expect, it } from 'vitest';
import { at, svgPlot } from '../../../src/report/plot/svg.js';

it('rounds places to a hundredth', () => {
  expect([at(1.005), at(2), at(-0.126)]).toEqual(['1', '2', '-0.13']);
});

it('gives a plot a title and a description that it is labelled by', () => {
  const { text } = svgPlot({ id: 'a', title: 'T <x>', description: 'D', width: 10, height: 5 });
  expect(text).toContain('viewBox="0 0 10 5"');
  expect(text).toContain('role="img"');
  expect(text).toContain('aria-labelledby="a-t a-d"');
  expect(text).toMatch(/<title id="a-t">T &lt;x&gt;<\/title>\s*<desc id="a-d">D<\/desc>/);
});
