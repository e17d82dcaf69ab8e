import { Command } from 'commander';
import { expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { registerRig } from '../../src/cli/rig.js';
import { rigFolder } from './run-rig.js';

it('every rig command says what it does, with examples', () => {
  const program = new Command();
  registerRig(program, {} as CliContext);
  const rig = program.commands[0];
  expect(rig.commands.map((command) => command.name())).toEqual(
    'record note list status trend compare name merge split export import backup check'.split(' '),
  );
  for (const command of [rig, ...rig.commands]) {
    let help = '';
    command.configureOutput({ writeOut: (text) => void (help += text) });
    command.outputHelp();
    expect(help).toMatch(/Examples:\n +starassay /);
    if (command !== rig) expect(help).toContain('--db <file>');
  }
});

it('a wrong choice is refused', async () => {
  const { run, cleanUp } = rigFolder();
  await expect(run(['status', '--fail-on', 'rain'])).rejects.toMatchObject({
    code: 'commander.invalidArgument',
  });
  cleanUp();
});
