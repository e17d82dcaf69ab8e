import { StarassayError } from '../errors.js';
import type { SweepSource } from '../night/sweep/index.js';
import type { CliContext } from './context.js';

/** Options of commands that measure frames star by star. */
export interface StarFrameFlags {
  readonly scale?: number;
  readonly hdu?: number;
  readonly salvage?: boolean;
}

/**
 * Measure every light frame under the paths with its single stars, one after the other on this thread (star lists do not leave it),
 * progress on stderr; frames that cannot be read or are no lights are named there.
 *
 * @throws StarassayError (exit code 3) when not one frame could be read; the signal's reason when aborted
 */
export async function measuredFrames(
  paths: readonly string[],
  flags: StarFrameFlags,
  context: CliContext,
): Promise<readonly SweepSource[]> {
  const [
    { findLightFrames },
    { defaultFrameOptions, measureFrame },
    { starShapes },
    { startProgress },
    { safeText },
    { toErrorRecord },
  ] = await Promise.all([
    import('../night/index.js'),
    import('../field/index.js'),
    import('../night/sweep/index.js'),
    import('./progress.js'),
    import('../report/index.js'),
    import('../errors.js'),
  ]);
  const found = await findLightFrames(paths, context.cwd);
  const progress = await startProgress(context);
  const options = {
    ...defaultFrameOptions,
    scaleArcsecPerPx: flags.scale ?? null,
    hdu: flags.hdu ?? null,
    salvage: flags.salvage ?? false,
  };
  const frames: SweepSource[] = [];
  const notes: string[] = [];
  try {
    for (const [done, { path, file }] of found.entries()) {
      context.signal.throwIfAborted();
      try {
        const measured = await measureFrame({ path, file, options });
        if ('outcome' in measured) notes.push(`${file}: set aside, its header says ${measured.kind}`);
        else {
          const { widthPx, heightPx } = measured.frame.image;
          frames.push({ ...measured.frame, starShapes: starShapes(measured.table, widthPx, heightPx) });
        }
      } catch (error) {
        const record = toErrorRecord(error, file);
        notes.push(`${record.message}\n  ${record.remedy}`);
      }
      progress.update({ done: done + 1, total: found.length, file });
    }
  } finally {
    progress.stop();
  }
  for (const note of notes) context.note(`${safeText(note)}\n`);
  if (frames.length > 0) return frames;
  throw new StarassayError(
    'unreadable-file',
    found.length === 1
      ? 'the one file named could not be measured'
      : `none of the ${found.length} files could be measured`,
    'The lines above say why, file by file.',
  );
}
