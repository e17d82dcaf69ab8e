import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command } from 'commander';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { registerTrain } from '../../src/cli/train.js';
import { UsageError } from '../../src/errors.js';
import { trainText } from '../optics/train/train-fixture.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'train-'));
  writeFileSync(join(folder, 'my.yaml'), trainText);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...args: string[]): Promise<{ out: string; exit: number }> {
  let out = '';
  let exit = 0;
  const context: CliContext = {
    out: (text) => void (out += text),
    note: () => undefined,
    columns: 80,
    color: false,
    interactive: false,
    cwd: folder,
    env: {},
    signal: new AbortController().signal,
    readStdin: () => Promise.resolve(trainText),
    setExitCode: (code) => void (exit = code),
  };
  const program = new Command('starassay').exitOverride();
  registerTrain(program, context);
  await program.parseAsync(['node', 'starassay', 'train', ...args]);
  return { out, exit };
}

describe('starassay train', () => {
  it('reads a file or standard input and answers the same', async () => {
    const { out } = await run('my.yaml');
    expect(out).toContain('short');
    expect((await run('-')).out).toBe(out);
  });

  it('follows a measured error', async () => {
    expect((await run('my.yaml', '--measured', '4')).out).toContain('Measured on the sky');
  });

  it('takes the error from a saved ladder', async () => {
    writeFileSync(
      join(folder, 'ladder.json'),
      JSON.stringify({ schema: 'starassay/ladder@1', bestSpacingMm: 55 }),
    );
    const { out } = await run('my.yaml', '--measured', 'ladder.json', '--at', '54.25');
    expect(out).toContain('Measured on the sky: −0.75 mm');
    await expect(run('my.yaml', '--measured', 'nowhere.json')).rejects.toThrow('nowhere.json cannot be read');
  });

  it('writes JSON and a drawing', async () => {
    const { out } = await run('my.yaml', '--json', '--svg', 'train.svg');
    expect(JSON.parse(out).schema).toBe('starassay/train@1');
    expect(readFileSync(join(folder, 'train.svg'), 'utf8')).toContain('<svg');
  });

  it('prints an example that it understands itself, and the joints', async () => {
    const { out } = await run('--example');
    writeFileSync(join(folder, 'example.yaml'), out);
    expect((await run('example.yaml')).out).toContain('Example refractor');
    expect((await run('--threads')).out).toContain('M48x0.75');
  });

  it('checks a train and fails only where asked', async () => {
    expect((await run('check', 'my.yaml')).exit).toBe(0);
    expect((await run('check', 'my.yaml', '--fail-on', 'cautions')).exit).toBe(1);
    expect((await run('check', 'my.yaml', '--fail-on', 'faults')).exit).toBe(0);
    expect(JSON.parse((await run('check', 'my.yaml', '--json')).out).warnings[0].code).toBe('spacing');
  });

  it('has words for no file, a missing file and an unknown level', async () => {
    await expect(run()).rejects.toThrow(UsageError);
    await expect(run('nope.yaml')).rejects.toThrow(/nope.yaml: cannot be read/);
    await expect(run('check', 'my.yaml', '--fail-on', 'anything')).rejects.toThrow(/not known/);
  });
});
