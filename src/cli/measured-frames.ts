import { StarassayError } from '../errors.js';
import type { FrameAssessment } from '../field/types.js';
import type { CliContext } from './context.js';
import { frameOptionsOf, type FrameFlags } from './frame-options.js';

/**
 * Measure every light frame under the paths, with progress on stderr; frames that cannot be read or are no lights are named there.
 *
 * @throws StarassayError (exit code 3) when not one frame could be read
 */
export async function measuredFrames(
  paths: readonly string[],
  flags: FrameFlags,
  context: CliContext,
): Promise<readonly FrameAssessment[]> {
  const [
    { findLightFrames },
    { assessFrames, openFrameCache },
    { defaultFrameOptions },
    { startProgress },
    { frameCacheFolder },
    { safeText },
  ] = await Promise.all([
    import('../night/index.js'),
    import('../pool/index.js'),
    import('../field/index.js'),
    import('./progress.js'),
    import('./cache-folder.js'),
    import('../report/index.js'),
  ]);
  const found = await findLightFrames(paths, context.cwd);
  const progress = await startProgress(context);
  const cache = flags.cache ? openFrameCache({ folder: frameCacheFolder() }) : null;
  try {
    const measured = await assessFrames(found, {
      frame: { ...defaultFrameOptions, ...frameOptionsOf(flags) },
      threads: flags.threads ?? null,
      signal: context.signal,
      onProgress: progress.update,
      memory: cache,
    });
    for (const { file, kind } of measured.setAside)
      context.note(safeText(`${file}: set aside, its header says ${kind}\n`));
    for (const { error } of measured.unreadable)
      context.note(`${safeText(error.message)}\n  ${safeText(error.remedy)}\n`);
    if (measured.frames.length === 0) {
      throw new StarassayError(
        'unreadable-file',
        `none of the ${found.length} files could be measured`,
        'The lines above say why, file by file.',
      );
    }
    return measured.frames;
  } finally {
    progress.stop();
    cache?.trim();
  }
}
