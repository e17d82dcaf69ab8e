import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { runSimulate } from '../../src/cli/simulate-run.js';
import type { SimulateOptions } from '../../src/cli/simulate.js';
import { UsageError } from '../../src/errors.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-'));
afterAll(() => rmSync(folder, { recursive: true }));
writeFileSync(
  join(folder, 'tiny.yaml'),
  'name: tiny\nframes: 2\ncamera: { widthPx: 80, heightPx: 64 }\nstars: { count: 9 }\n',
);

async function run(scenario: string | undefined, options: SimulateOptions): Promise<string> {
  let printed = '';
  await runSimulate(scenario, options, {
    out: (text: string) => (printed += text),
    note: () => undefined,
    cwd: folder,
    interactive: false,
    signal: new AbortController().signal,
  } as unknown as CliContext);
  return printed;
}

describe('runSimulate', () => {
  it('writes a scenario file with another seed, count and size', async () => {
    const printed = await run('tiny.yaml', { out: 'a', seed: '9', frames: '3', size: '70x66' });
    expect(printed).toMatch(/^3 frames and truth\.json written to a in .* s; 0 to reject; planted: none\n$/);
    const frames = readdirSync(join(folder, 'a')).filter((name) => name.endsWith('.fits'));
    expect(frames).toHaveLength(3);
    const header = readFileSync(join(folder, 'a', frames[0]))
      .subarray(0, 2880)
      .toString('latin1');
    expect(header).toContain('NAXIS1  =                   70');
  });

  it('begins on another evening when told to, and refuses what is no date', async () => {
    await run('tiny.yaml', { out: 'dated', date: '2026-02-28' });
    const [first] = readdirSync(join(folder, 'dated')).filter((name) => name.endsWith('.fits'));
    const header = readFileSync(join(folder, 'dated', first!))
      .subarray(0, 5760)
      .toString('latin1');
    expect(header).toMatch(/DATE-OBS= '2026-02-28T20:05:00/);
    for (const date of ['2026-02-30', 'tonight', '26-02-28'])
      await expect(run('tiny.yaml', { out: 'c', date })).rejects.toBeInstanceOf(UsageError);
  });

  it('writes a rig-year', async () => {
    expect(await run('rig-year', { out: 'year', frames: '4', seed: '2' })).toMatch(
      /nights, \d+ frames, 5 changes/,
    );
    expect(readdirSync(join(folder, 'year'))).toEqual(['rig-year.json']);
  });

  it.each<[string, string | undefined, SimulateOptions, RegExp]>([
    ['no scenario', undefined, { out: 'b' }, /no scenario given/],
    ['no folder', 'tiny.yaml', {}, /no folder given/],
    ['an unknown scenario', 'nothing', { out: 'b' }, /neither a built-in scenario/],
    ['a seed that is no number', 'tiny.yaml', { out: 'b', seed: 'x' }, /--seed x/],
    ['no frames', 'tiny.yaml', { out: 'b', frames: '0' }, /--frames 0/],
    ['a bad size', 'tiny.yaml', { out: 'b', size: '40x40' }, /--size 40x40/],
    ['a size for a rig-year', 'rig-year', { out: 'b', size: '400x400' }, /no frames to size/],
  ])('refuses %s with words, and writes nothing', async (_name, scenario, options, words) => {
    const failure = run(scenario, options);
    await expect(failure).rejects.toThrow(words);
    await expect(failure).rejects.toBeInstanceOf(UsageError);
    expect(readdirSync(folder)).not.toContain('b');
  });
});
