import { isAbsolute } from 'node:path';
import { expect, it } from 'vitest';
import { frameCacheFolder } from '../../src/cli/cache-folder.js';

it('the cache lies in a folder of this program’s own', () => {
  expect(isAbsolute(frameCacheFolder())).toBe(true);
  expect(frameCacheFolder()).toMatch(/starassay.*frames$/);
});
