#!/usr/bin/env node
import { Command, CommanderError } from 'commander';
import { StarassayError } from '../errors.js';
import { version } from '../package-root.js';
import { commands } from './commands.js';
import type { CliContext } from './context.js';

// The only module that touches `process`.

const abort = new AbortController();
process.once('SIGINT', () => {
  abort.abort();
  process.exitCode = 130;
  // A second Ctrl-C ends at once, whatever is still running.
  process.once('SIGINT', () => process.exit(130));
});
// `starassay ... | head` closes the pipe early: that is not an error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

const quiet = process.argv.includes('--quiet') || process.argv.includes('-q');
const noColor = process.argv.includes('--no-color') || Boolean(process.env.NO_COLOR);

const context: CliContext = {
  out: (text) => void process.stdout.write(text),
  note: (text) => {
    if (!quiet) process.stderr.write(text);
  },
  columns: process.stdout.isTTY ? (process.stdout.columns ?? 80) : null,
  color: Boolean(process.stdout.isTTY) && !noColor && process.env.TERM !== 'dumb',
  interactive: Boolean(process.stderr.isTTY) && !quiet,
  cwd: process.cwd(),
  env: process.env,
  signal: abort.signal,
  readStdin: async () => {
    const chunks: Buffer[] = [];
    for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
    return Buffer.concat(chunks).toString('utf8');
  },
  setExitCode: (code) => {
    process.exitCode = code;
  },
};

const program = new Command('starassay')
  .description(
    "Measure every star of a night's FITS subs, sort keep from reject, and say what to correct on the rig.",
  )
  .version(version)
  .option('-q, --quiet', 'no progress and no warnings on stderr')
  .option('--no-color', 'plain text (NO_COLOR does the same)')
  .exitOverride()
  .showHelpAfterError('(--help shows how)');
for (const register of commands) register(program, context);
// Set on every level, so that a usage error anywhere ends with our exit code; the two output options work after the command too.
for (const command of program.commands) command.exitOverride();

try {
  await program.parseAsync(process.argv);
} catch (error) {
  if (error instanceof CommanderError) {
    process.exitCode = error.exitCode === 0 ? 0 : 2;
  } else if (error instanceof StarassayError) {
    process.stderr.write(`starassay: ${error.message}\n${error.remedy}\n`);
    process.exitCode = error.code === 'usage' ? 2 : 3;
  } else if (abort.signal.aborted) {
    process.stderr.write('\nstarassay: stopped\n');
    process.exitCode = 130;
  } else {
    process.stderr.write(
      `starassay: unexpected failure: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`,
    );
    process.exitCode = 3;
  }
}
