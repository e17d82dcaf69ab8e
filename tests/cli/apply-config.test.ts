import { Command } from 'commander';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { applyConfig } from '../../src/cli/apply-config.js';
import { addFrameOptions } from '../../src/cli/frame-options.js';
import { addLimitOptions } from '../../src/cli/limit-options.js';

const root = mkdtempSync(join(tmpdir(), 'starassay-apply-config-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

let n = 0;
let notes = '';
async function flagsWith(settings: string, ...args: string[]): Promise<Record<string, unknown>> {
  const cwd = mkdtempSync(join(root, `${n++}-`));
  writeFileSync(join(cwd, 'starassay.yaml'), settings);
  const program = new Command().exitOverride();
  program.command('other').option('--flange <mm>');
  const command = addFrameOptions(addLimitOptions(program.command('cull').exitOverride()));
  command.action(() => undefined);
  program.parse(['cull', ...args], { from: 'user' });
  notes = '';
  const env = { STARASSAY_CONFIG_DIR: join(cwd, 'none') };
  return applyConfig(command, { cwd, env, note: (text) => void (notes += text) });
}

describe('applyConfig', () => {
  it('puts settings under the options, parsed as the options are', async () => {
    expect(
      await flagsWith('max-elongation: 1.2\nkeep-best: 80%\ncache: false\nsalvage: true\nmin-weight: off'),
    ).toMatchObject({
      maxElongation: 1.2,
      keepBest: 0.8,
      cache: false,
      salvage: true,
    });
  });

  it('tells which file changed what, and nothing when it changed nothing', async () => {
    await flagsWith('max-elongation: 1.2');
    expect(notes).toMatch(/starassay\.yaml: max-elongation: 1\.2\n$/);
    await flagsWith('max-elongation: 1.2', '--max-elongation', '1.5');
    expect(notes).toBe('');
  });

  it('lets the command line win', async () => {
    expect((await flagsWith('max-elongation: 1.2', '--max-elongation', '1.5')).maxElongation).toBe(1.5);
    expect((await flagsWith('cache: true', '--no-cache')).cache).toBe(false);
  });

  it('passes over settings of other commands', async () => {
    expect(await flagsWith('flange: 54')).not.toHaveProperty('flange');
  });

  it('passes over a setting that means another thing to this command', async () => {
    const cwd = mkdtempSync(join(root, `${n++}-`));
    writeFileSync(join(cwd, 'starassay.yaml'), 'record: true');
    const program = new Command().exitOverride();
    const command = program
      .command('ladder')
      .option('--record')
      .action(() => undefined);
    program.parse(['ladder'], { from: 'user' });
    const context = { cwd, env: { STARASSAY_CONFIG_DIR: join(cwd, 'none') }, note: () => undefined };
    expect(await applyConfig(command, context, ['record'])).not.toHaveProperty('record');
    expect(await applyConfig(command, context)).toHaveProperty('record', true);
  });

  it('names file and setting that no command knows', async () => {
    await expect(flagsWith('max-elongaton: 1.2')).rejects.toThrow(/starassay\.yaml.*max-elongaton/);
  });

  it('refuses a value that the option would refuse', async () => {
    await expect(flagsWith('max-elongation: -3')).rejects.toThrow(/max-elongation/);
    await expect(flagsWith('salvage: 3')).rejects.toThrow(/true or false/);
  });
});
