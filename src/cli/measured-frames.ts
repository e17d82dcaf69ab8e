import { StarassayError } from '../errors.js';
import type { FrameAssessment } from '../field/types.js';
import type { CliContext } from './context.js';
import { frameOptionsOf, type FrameFlags } from './frame-options.js';
import { checkPositionFlags, withFocuserPositions, type PositionFlags } from './focuser-positions.js';

/**
 * Measure every light frame under the paths with its single stars, in worker threads and remembered between runs as every command does,
 * progress on stderr; frames that cannot be read or are no lights are named there.
 *
 * @throws StarassayError (exit code 3) when not one frame could be read; UsageError for positions that do not go with the files; the
 *   signal's reason when aborted
 */
export async function measuredFrames(
  paths: readonly string[],
  flags: FrameFlags & PositionFlags,
  context: CliContext,
): Promise<readonly FrameAssessment[]> {
  const [
    { findLightFrames },
    { defaultFrameOptions },
    { assessFrames, openFrameCache },
    { startProgress },
    { frameCacheFolder },
    { safeText },
  ] = await Promise.all([
    import('../night/index.js'),
    import('../field/index.js'),
    import('../pool/index.js'),
    import('./progress.js'),
    import('./cache-folder.js'),
    import('../report/index.js'),
  ]);
  const note = (text: string): void => context.note(`${safeText(text)}\n`);
  const found = await findLightFrames(paths, context.cwd, note);
  checkPositionFlags(flags, found);
  const progress = await startProgress(context);
  const cache = flags.cache ? openFrameCache({ folder: frameCacheFolder() }) : null;
  const measured = await assessFrames(found, {
    frame: { ...defaultFrameOptions, ...frameOptionsOf(flags), starShapes: true },
    threads: flags.threads ?? null,
    signal: context.signal,
    onProgress: progress.update,
    memory: cache,
  }).finally(() => {
    progress.stop();
    cache?.trim();
  });
  for (const { file, kind } of measured.setAside) note(`${file}: set aside, its header says ${kind}`);
  for (const { error } of measured.unreadable) note(`${error.message}\n  ${error.remedy}`);
  if (measured.frames.length > 0) return withFocuserPositions(measured.frames, found, flags);
  throw new StarassayError(
    'unreadable-file',
    found.length === 1
      ? 'the one file named could not be measured'
      : `none of the ${found.length} files could be measured`,
    'The lines above say why, file by file.',
  );
}
