import type { Command } from 'commander';

/** What a command may touch of the outside world; made once by the entry file, replaced by a fake in tests. */
export interface CliContext {
  /** Write results (stdout). */
  readonly out: (text: string) => void;
  /** Write progress and warnings (stderr); silent with `--quiet`. */
  readonly note: (text: string) => void;
  /** Width of the terminal that shows the results, or null when stdout is piped. */
  readonly columns: number | null;
  /** True when colour may be used on stdout. */
  readonly color: boolean;
  /** True when stderr is a terminal, so that a progress bar can be drawn there. */
  readonly interactive: boolean;
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Aborted on Ctrl-C. */
  readonly signal: AbortSignal;
  /** Read all of standard input. */
  readonly readStdin: () => Promise<string>;
  /** 0 done; 1 needs attention where asked; 2 bad usage; 3 no readable frame. */
  readonly setExitCode: (code: 0 | 1 | 2 | 3) => void;
}

/** A command file's one export: adds the command to the program; heavy modules are imported inside the action. */
export type RegisterCommand = (program: Command, context: CliContext) => void;
