import { expect, it } from 'vitest';
import { pageStyle } from '../../../src/report/page/page-style.js';

it('fetches nothing and names no colour that it does not define', () => {
  expect(pageStyle).not.toMatch(/url\(|@import|@font-face/);
  for (const [, name] of pageStyle.matchAll(/var\(--([a-z0-9]+)\)/g))
    expect(pageStyle).toContain(`--${name}:`);
});

it('closes every brace', () => {
  expect(pageStyle.split('{').length).toBe(pageStyle.split('}').length);
});
