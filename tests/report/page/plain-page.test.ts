import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { plainPage, verdictSection } from '../../../src/report/page/plain-page.js';

describe('a page without script', () => {
  const page = plainPage({
    title: 'A <bench>',
    extent: '3 frames',
    version: '1.2.3',
    style: '.own{color:red}',
    sections: [verdictSection('All <well>', ['Leave & see.'])],
  });

  it('lets in its own style alone, by the hash of what stands in it', () => {
    const sheet = /<style>([\s\S]*?)<\/style>/.exec(page)![1]!;
    expect(sheet).toContain('.own{color:red}');
    expect(page).toContain(`sha256-${createHash('sha256').update(sheet).digest('base64')}`);
    expect(page).not.toContain('<script');
  });

  it('escapes what it is given', () => {
    expect(page).toContain('A &lt;bench&gt;');
    expect(page).toContain('All &lt;well&gt;');
    expect(page).toContain('Leave &amp; see.');
  });
});
