import type { NightAssessment } from '../causes/types.js';
import type { FrameOptions } from '../field/index.js';
import type { DecisionLimits } from '../night/types.js';
import type { CliContext } from './context.js';
import { frameOptionsOf, type FrameFlags } from './frame-options.js';
import { historyReader, type HistoryFlags } from './history-options.js';
import type { InwardFlag } from './inward-option.js';

/**
 * Assess a night the way every command does: progress on stderr, frames remembered between runs, Ctrl-C obeyed.
 *
 * @throws what `assessNight` throws
 */
export async function assessPaths(
  paths: readonly string[],
  flags: FrameFlags & HistoryFlags & InwardFlag,
  pictures: FrameOptions['pictures'],
  context: CliContext,
  limits: Partial<DecisionLimits> = {},
): Promise<NightAssessment> {
  const [{ assessNight }, { openFrameCache }, { startProgress }, { frameCacheFolder }] = await Promise.all([
    import('../assess-night.js'),
    import('../pool/index.js'),
    import('./progress.js'),
    import('./cache-folder.js'),
  ]);
  const history = await historyReader(flags, context);
  const progress = await startProgress(context);
  const cache = flags.cache ? openFrameCache({ folder: frameCacheFolder() }) : null;
  try {
    return await assessNight(paths, {
      cwd: context.cwd,
      limits,
      frame: { ...frameOptionsOf(flags), pictures },
      threads: flags.threads,
      signal: context.signal,
      onProgress: progress.update,
      memory: cache ?? undefined,
      history,
      inward: flags.inward,
    });
  } finally {
    progress.stop();
    cache?.trim();
  }
}
