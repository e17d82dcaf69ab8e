import { Script } from 'node:vm';
import { expect, it } from 'vitest';
import { pageScript } from '../../../src/report/page/page-script.js';

it('is valid JavaScript that fetches nothing and makes no markup from text', () => {
  expect(() => new Script(pageScript)).not.toThrow();
  expect(pageScript).not.toMatch(
    /innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|fetch\(|XMLHttp|import\(|<\//,
  );
});
