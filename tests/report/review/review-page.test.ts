import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { refusalPage, reviewPage } from '../../../src/report/review/review-page.js';
import { syntheticNight } from '../synthetic-night.js';

it('is the page of the night with the means to decide, and may talk to its own server only', () => {
  const page = reviewPage(syntheticNight({ frames: 3 }), { pictures: false });
  const policy = /http-equiv="Content-Security-Policy"\s+content="([^"]*)"/
    .exec(page)![1]!
    .replaceAll('&#39;', "'");
  expect(policy).toContain("connect-src 'self'");
  expect(policy).not.toContain('unsafe');
  for (const [, script] of page.matchAll(/<script>([^]*?)<\/script>/g)) {
    expect(policy).toContain(createHash('sha256').update(script!).digest('base64'));
  }
  expect(page).toContain('data-decide="reject"');
});

it('a browser that may not look is told what to do, and nothing it sent acts', () => {
  const page = refusalPage('<b>used</b>');
  expect(page).toContain('&lt;b&gt;used&lt;/b&gt;');
  expect(page).toContain('<code>starassay review</code> again');
});
