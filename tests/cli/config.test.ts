import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { loadConfig } from '../../src/cli/config.js';
import { UsageError } from '../../src/errors.js';

let cwd: string;
let user: string;
const load = () => loadConfig(cwd, { STARASSAY_CONFIG_DIR: user });
beforeEach(() => {
  const root = mkdtempSync(join(tmpdir(), 'starassay-config-'));
  cwd = join(root, 'work');
  user = join(root, 'user');
  mkdirSync(cwd);
  mkdirSync(user);
});

describe('loadConfig', () => {
  it('reads YAML and JSON, the working folder over the user’s', async () => {
    writeFileSync(join(user, 'starassay.yaml'), 'max-elongation: 1.2\nkeep-best: 80%\n');
    writeFileSync(join(cwd, 'starassay.json'), '{ "max-elongation": 1.5, "cache": false }');
    const config = await load();
    expect(config.get('max-elongation')).toEqual({ value: 1.5, file: join(cwd, 'starassay.json') });
    expect(config.get('keep-best')?.value).toBe('80%');
    expect(config.get('cache')?.value).toBe(false);
  });

  it('is empty without a file, and with an empty one', async () => {
    expect((await load()).size).toBe(0);
    writeFileSync(join(cwd, 'starassay.yaml'), '# nothing yet\n');
    expect((await load()).size).toBe(0);
  });

  it.each([
    ['broken YAML', 'a: [1,\nb: }'],
    ['a list', '- 1\n- 2'],
    ['nested settings', 'cull:\n  max-elongation: 1'],
    ['a word alone', 'hello'],
    ['leave to move files', 'yes: true'],
  ])('names the file when it holds %s', async (_, content) => {
    writeFileSync(join(cwd, 'starassay.yaml'), content);
    await expect(load()).rejects.toThrow(UsageError);
    await expect(load()).rejects.toThrow(/starassay\.yaml/);
  });

  it('wants one file a folder', async () => {
    writeFileSync(join(cwd, 'starassay.yaml'), 'a: 1');
    writeFileSync(join(cwd, 'starassay.json'), '{}');
    await expect(load()).rejects.toThrow(/2 configuration files/);
  });
});
