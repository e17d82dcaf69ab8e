import { expect, it } from 'vitest';
import { pageStyle } from '../../../src/report/page/page-style.js';
import { rigPageStyle } from '../../../src/report/rig/rig-page-style.js';

it('adds to the style of the night page and fetches nothing', () => {
  expect(rigPageStyle.startsWith(pageStyle)).toBe(true);
  expect(rigPageStyle).not.toMatch(/url\(|@import/);
});
