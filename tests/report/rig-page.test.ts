import { expect, it } from 'vitest';
import { rigPage } from '../../src/report/rig-page.js';
import { trends } from './rig/trend-fixture.js';

it('is one page without scripts that fetches nothing and escapes what people typed', () => {
  const page = rigPage(trends);
  expect(page).toContain('default-src &#39;none&#39;');
  expect(page).not.toMatch(/<script|src="|href="(?!#)/);
  expect(page).toContain('garden &lt;script&gt;alert(1)&lt;/script&gt; refractor');
  expect(page).toContain('thread &lt;b&gt;instead&lt;/b&gt; of &quot;draw tube&quot;');
  expect(page.match(/<section id="panel-/g)).toHaveLength(2);
  expect(page).toContain('60 nights: the rig changed on 2026-02-10, and tracking blur drifts.');
  expect(page).toContain('focus-law (not measured on any of these nights)');
  const ids = [...page.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]);
  expect(new Set(ids).size).toBe(ids.length);
});

it('a quiet rig holds, an empty one says so, the palette asked for is checked', () => {
  expect(rigPage({ ...trends, metrics: [] })).toContain('No night of this rig was recorded in that time.');
  expect(rigPage(trends, 'night')).toMatch(/value="night"\s+checked/);
  const quiet = trends.metrics.map((metric) => ({ ...metric, changes: [], driftPerMonth: 0 }));
  expect(rigPage({ ...trends, metrics: quiet })).toContain('60 nights: the rig holds.');
});
