import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { registerSimulate } from '../../src/cli/simulate.js';

describe('starassay simulate', () => {
  it('registers with help that has examples, and runs the listing', async () => {
    let printed = '';
    const context = { out: (text: string) => (printed += text), cwd: '.' } as unknown as CliContext;
    const program = new Command().exitOverride();
    registerSimulate(program, context);
    expect(program.commands[0].helpInformation()).toContain('--out');
    await program.parseAsync(['simulate', '--list'], { from: 'user' });
    expect(printed).toContain('sample-night');
    expect(printed).toContain('rig-year');
  });
});
