import { isAbsolute, join } from 'node:path';
import { expect, it } from 'vitest';
import { defaultStorePath } from '../../src/cli/default-store-path.js';

it('STARASSAY_DB first, then XDG_DATA_HOME when it is absolute, then the folder of the system', () => {
  const usual = defaultStorePath({});
  expect(isAbsolute(usual)).toBe(true);
  expect(usual.endsWith('rigs.sqlite')).toBe(true);
  expect(defaultStorePath({ XDG_DATA_HOME: '/data' })).toBe(join('/data', 'starassay', 'rigs.sqlite'));
  expect(defaultStorePath({ XDG_DATA_HOME: 'relative' })).toBe(usual);
  expect(defaultStorePath({ STARASSAY_DB: '/my/own.sqlite', XDG_DATA_HOME: '/data' })).toBe('/my/own.sqlite');
});
