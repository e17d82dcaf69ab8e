import { Command } from 'commander';
import { expect, it } from 'vitest';
import { addInwardOption, type InwardFlag } from '../../src/cli/inward-option.js';
import { commands } from '../../src/cli/commands.js';
import type { CliContext } from '../../src/cli/context.js';

const parse = (...args: string[]): InwardFlag =>
  addInwardOption(new Command().exitOverride().configureOutput({ writeErr: () => undefined }))
    .parse(args, { from: 'user' })
    .opts<InwardFlag>();

it('takes one of two senses, and leaves it open by default', () => {
  expect(parse().inward).toBeUndefined();
  expect(parse('--inward', 'positive').inward).toBe('positive');
  expect(parse('--inward', 'negative').inward).toBe('negative');
  expect(() => parse('--inward', 'left')).toThrow(/positive, negative/);
});

it('is an option of every command that names a side of the sensor', () => {
  const program = new Command();
  for (const register of commands) register(program, {} as CliContext);
  const having = program.commands.filter((c) => c.options.some((o) => o.long === '--inward'));
  expect(having.map((c) => c.name())).toEqual(['cull', 'corners', 'review', 'watch', 'sweep', 'ladder']);
});
