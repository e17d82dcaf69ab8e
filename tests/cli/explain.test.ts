import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { registerExplain } from '../../src/cli/explain.js';
import { UsageError } from '../../src/errors.js';

async function explain(...args: string[]): Promise<string> {
  let out = '';
  const context = { out: (text: string) => (out += text), columns: 70 } as unknown as CliContext;
  const program = new Command().exitOverride();
  registerExplain(program, context);
  await program.parseAsync(['explain', ...args], { from: 'user' });
  return out;
}

describe('starassay explain', () => {
  it('lists every cause', async () => {
    const lines = (await explain()).trim().split('\n');
    expect(lines).toHaveLength(14);
    expect(lines[0]).toMatch(/^focus-drift +Focus drifts/);
  });

  it('prints what a cause means, its look-alikes and what to do, within the width', async () => {
    const text = await explain('sensor-tilt');
    for (const title of ['Why it matters', 'What looks like it but is not', 'What to do', 'Sources']) {
      expect(text).toContain(title);
    }
    expect(text.split('\n').every((line) => line.length <= 70)).toBe(true);
  });

  it('gives JSON', async () => {
    expect((JSON.parse(await explain('dew', '--json')) as { code: string }).code).toBe('dew');
    expect(JSON.parse(await explain('--json'))).toHaveLength(14);
  });

  it('refuses an unknown cause with the list of those there are', async () => {
    await expect(explain('gremlins')).rejects.toThrow(UsageError);
  });
});
