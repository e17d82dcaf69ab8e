import type { Command } from 'commander';
import { existsSync } from 'node:fs';
import type { FrameAssessment } from '../field/types.js';
import type { RigHistory } from '../rig/types.js';
import type { CliContext } from './context.js';
import { storePath } from './store-path.js';

/** Options of the commands that hold a night against the history of its rig. */
export interface HistoryFlags {
  /** Unless true, the night is judged by itself. */
  readonly history?: boolean;
  readonly db?: string;
}

/** Add the options that say which history to ask, or none. */
export function addHistoryOptions(command: Command): Command {
  return command
    .option(
      '--db <file>',
      'history file of your rigs (default: rigs.sqlite in your data folder, or STARASSAY_DB)',
    )
    .option('--no-history', 'judge the night by itself, not against the rig’s history');
}

/**
 * What looks up the rig of measured frames in the history; undefined when there is no history or it is not wanted.
 * A history that cannot be read is said on stderr and does without: it must not cost the night.
 */
export async function historyReader(
  flags: HistoryFlags,
  context: CliContext,
): Promise<((frames: readonly FrameAssessment[]) => RigHistory | null) | undefined> {
  if (!flags.history) return undefined;
  const path = await storePath(flags.db, context);
  if (!existsSync(path)) return undefined;
  const { asStoreError, openStore, rigHistory } = await import('../rig/reader/index.js');
  return (frames) => {
    try {
      const store = openStore(path, { purpose: 'read' });
      try {
        return rigHistory(store, frames);
      } finally {
        store.close();
      }
    } catch (error) {
      const known = asStoreError(error, path) as Error;
      context.note(`warning: judged without the rig's history: ${known.message}\n`);
      return null;
    }
  };
}
