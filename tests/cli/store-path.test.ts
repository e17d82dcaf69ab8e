import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { storePath } from '../../src/cli/store-path.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-store-path-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('the place of the history: option, then configuration, then environment', async () => {
  const config = join(folder, 'config');
  mkdirSync(config);
  const context = { cwd: folder, env: { STARASSAY_CONFIG_DIR: config, STARASSAY_DB: '/elsewhere/r.sqlite' } };
  expect(await storePath(undefined, context)).toBe('/elsewhere/r.sqlite');
  expect(await storePath('mine.sqlite', context)).toBe(join(folder, 'mine.sqlite'));
  // A relative name in a configuration file counts from that file, wherever the command is run.
  writeFileSync(join(config, 'starassay.yaml'), 'db: rigs/all.sqlite\n');
  expect(await storePath(undefined, context)).toBe(join(config, 'rigs/all.sqlite'));
  expect(await storePath('rigs/all.sqlite', context)).toBe(join(config, 'rigs/all.sqlite'));
  expect(await storePath('mine.sqlite', context)).toBe(join(folder, 'mine.sqlite'));
});
