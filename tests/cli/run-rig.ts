import { Command } from 'commander';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CliContext } from '../../src/cli/context.js';
import { registerRig } from '../../src/cli/rig.js';
import { evenings, madeDocument, wobble } from '../rig/made-history.js';

export interface RigRun {
  readonly out: string;
  readonly note: string;
  readonly exit: number;
}

/** A folder with a history of its own; `run` gives the arguments after `rig`, errors are thrown as the commands throw them. */
export function rigFolder(): {
  readonly folder: string;
  readonly run: (args: readonly string[], input?: string) => Promise<RigRun>;
  readonly recordStep: () => Promise<RigRun>;
  readonly cleanUp: () => void;
} {
  const folder = mkdtempSync(join(tmpdir(), 'starassay-rig-'));
  const run = async (args: readonly string[], input = ''): Promise<RigRun> => {
    let [out, note, exit] = ['', '', 0];
    const context: CliContext = {
      out: (text) => void (out += text),
      note: (text) => void (note += text),
      columns: 80,
      color: false,
      interactive: false,
      cwd: folder,
      env: { STARASSAY_DB: join(folder, 'rigs.sqlite'), STARASSAY_CONFIG_DIR: folder },
      signal: new AbortController().signal,
      readStdin: () => Promise.resolve(input),
      setExitCode: (code) => void (exit = code),
    };
    const program = new Command('starassay').exitOverride().configureOutput({ writeErr: () => undefined });
    registerRig(program, context);
    await program.parseAsync(['node', 'starassay', 'rig', ...args]);
    return { out, note, exit };
  };
  /** Twenty nights at a tilt of 38, then twenty at 9 micrometres. */
  const recordStep = () => {
    const names = evenings('2026-01-01', 40).map((date, i) => {
      const tiltMicron = (i < 20 ? 38 : 9) + wobble(40)[i];
      writeFileSync(
        join(folder, `${date}.json`),
        JSON.stringify(madeDocument(date, { frames: 3, tiltMicron })),
      );
      return `${date}.json`;
    });
    return run(['record', ...names]);
  };
  return { folder, run, recordStep, cleanUp: () => rmSync(folder, { recursive: true, force: true }) };
}
