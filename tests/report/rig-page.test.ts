import { expect, it } from 'vitest';
import { rigPage } from '../../src/report/rig-page.js';
import { trends } from './rig/trend-fixture.js';

const words = (page: string) => page.replace(/<[^>]*>/g, '').replace(/\s+/g, ' ');

it('is one page without scripts that fetches nothing and escapes what people typed', () => {
  const page = rigPage(trends);
  expect(page).toContain('default-src &#39;none&#39;');
  expect(page).not.toMatch(/<script|src="|href="(?!#)/);
  expect(page).toContain('garden &lt;script&gt;alert(1)&lt;/script&gt; refractor');
  expect(page).toContain('thread &lt;b&gt;instead&lt;/b&gt; of &quot;draw tube&quot;');
  expect(page.match(/<section id="panel-/g)).toHaveLength(2);
  expect(words(page)).toContain('60 nights: a sudden change on 2026-02-10, and a slow drift.');
  expect(page).toContain('focus-law (not measured on any of these nights)');
  const ids = [...page.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]);
  expect(new Set(ids).size).toBe(ids.length);
});

it('tells the changes date by date with their note, those that the sky sways apart', () => {
  const own = trends.metrics.find((metric) => metric.changes.length > 0)!;
  const sky = {
    ...own,
    metric: 'seeing-zenith' as const,
    title: 'Seeing at the zenith',
    subject: 'sky' as const,
  };
  const page = rigPage({ ...trends, metrics: [own, { ...own, title: 'Tilt once more' }, sky] });
  const [changes] = /<section id="changes"[\s\S]*?<\/section>/.exec(page)!;
  expect(changes.match(/<h3>/g)).toHaveLength(2);
  expect(words(changes)).toContain('2026-02-10');
  const { before, after } = own.changes[0];
  expect(changes.replace(/\s+/g, ' ')).toContain(
    `Sensor tilt</a> ${before.toFixed(1)} → ${after.toFixed(1)} µm`,
  );
  expect(changes.indexOf('Seeing at the zenith')).toBeGreaterThan(changes.indexOf('<details'));
  expect(changes).toContain('Figures that the sky sways too: 1 change');
  const onlySky = rigPage({ ...trends, metrics: [sky] });
  expect(onlySky).toContain('None of the rig’s own figures changed for good.');
});

it('a quiet rig holds, an empty one says so, the palette asked for is checked', () => {
  expect(rigPage({ ...trends, metrics: [] })).toContain('No night of this rig was recorded in that time.');
  expect(rigPage(trends, 'night')).toMatch(/value="night"\s+checked/);
  const quiet = trends.metrics.map((metric) => ({ ...metric, changes: [], stretches: [], driftPerMonth: 0 }));
  expect(words(rigPage({ ...trends, metrics: quiet }))).toContain('60 nights: the rig holds.');
});
