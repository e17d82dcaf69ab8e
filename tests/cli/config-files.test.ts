import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { configFiles } from '../../src/cli/config-files.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-config-files-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('the user’s file first, then that of the working folder; several in one folder are refused', () => {
  const user = join(folder, 'user');
  mkdirSync(user);
  const files = () => configFiles(folder, { STARASSAY_CONFIG_DIR: user });
  expect(files()).toEqual([]);
  writeFileSync(join(folder, 'starassay.json'), '{}');
  writeFileSync(join(user, 'starassay.yml'), '');
  expect(files()).toEqual([join(user, 'starassay.yml'), join(folder, 'starassay.json')]);
  expect(configFiles(folder, { STARASSAY_CONFIG_DIR: folder })).toHaveLength(1);
  writeFileSync(join(folder, 'starassay.yaml'), '');
  expect(files).toThrow(/There are 2 configuration files in one folder/);
});
