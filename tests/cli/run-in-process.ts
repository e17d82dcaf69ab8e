import { Command } from 'commander';
import type { CliContext, RegisterCommand } from '../../src/cli/context.js';

/** Run one command in this process, straight from the sources; what it wrote comes back. */
export async function runInProcess(
  register: RegisterCommand,
  cwd: string,
  args: readonly string[],
): Promise<{ out: string; err: string; exit: number }> {
  let out = '';
  let err = '';
  let exit = 0;
  const context: CliContext = {
    out: (text) => void (out += text),
    note: (text) => void (err += text),
    columns: 80,
    color: false,
    interactive: false,
    cwd,
    env: { STARASSAY_CONFIG_DIR: cwd },
    signal: new AbortController().signal,
    readStdin: () => Promise.resolve(''),
    setExitCode: (code) => void (exit = code),
  };
  const program = new Command('starassay').exitOverride().configureOutput({ writeErr: () => undefined });
  register(program, context);
  for (const command of program.commands)
    command.exitOverride().configureOutput({ writeErr: () => undefined });
  await program.parseAsync(['node', 'starassay', ...args]);
  return { out, err, exit };
}
