import { expect, it } from 'vitest';
import { html } from '../../../src/report/html.js';
import { behindThePlot, bothWidths } from '../../../src/report/panels/panel.js';
import { panels } from '../../../src/report/panels/index.js';

it('draws a plot for a wide and for a narrow screen', () => {
  const { text } = bothWidths((width, suffix) => html`<i>${suffix}${width}</i>`)!;
  expect(text).toMatch(/wide[^<]*>\s*<i>w1080<\/i>/);
  expect(text).toMatch(/narrow[^<]*>\s*<i>n372<\/i>/);
  expect(bothWidths((width) => html`<i>${width}</i>`, 616)!.text).toContain('<i>616</i>');
  expect(bothWidths(() => null)).toBeNull();
});

it('gives the table behind a plot a caption, heads and row heads', () => {
  const { text } = behindThePlot('Cap <tion>', ['A', 'B'], [['r', '1']]);
  expect(text).toMatch(/<caption>\s*Cap &lt;tion&gt;\s*<\/caption>/);
  expect(text).toContain('<th scope="col">B</th>');
  expect(text).toContain('<th scope="row">r</th>');
});

it('lists panels of different names', () => {
  expect(new Set(panels.map((panel) => panel.id)).size).toBe(panels.length);
});
