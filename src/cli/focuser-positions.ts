import { UsageError } from '../errors.js';
import type { FrameAssessment } from '../field/types.js';
import type { FoundFrame } from '../night/index.js';

/** How the user says where the focuser stood; at most one of them. */
export interface PositionFlags {
  readonly positions?: readonly number[];
  readonly positionKeyword?: string;
  readonly positionPattern?: string;
}

/**
 * Refuse two ways at once to say where the focuser stood, and a list of another length than the files.
 *
 * @throws UsageError naming the two, or files and positions side by side
 */
export function checkPositionFlags(flags: PositionFlags, found: readonly FoundFrame[]): void {
  const given = [
    flags.positions && '--positions',
    flags.positionKeyword && '--position-keyword',
    flags.positionPattern && '--position-pattern',
  ].filter((name) => name !== undefined);
  if (given.length > 1)
    throw new UsageError(`${given.join(' and ')} both say where the focuser stood`, 'Keep one of them.');
  if (flags.positions !== undefined && flags.positions.length !== found.length) {
    throw new UsageError(
      `--positions lists ${flags.positions.length} positions for ${found.length} files`,
      `Give one for each file, in this order: ${found.map(({ file }) => file).join(', ')}.`,
    );
  }
}

/**
 * Put the focuser positions that the user named into the frames' headers: from a list in the order of the files, or from another keyword
 * of the file's header (null where it is missing or no number). Without such a flag the frames come back as they are.
 */
export async function withFocuserPositions(
  frames: readonly FrameAssessment[],
  found: readonly FoundFrame[],
  flags: PositionFlags,
): Promise<readonly FrameAssessment[]> {
  const placed = (frame: FrameAssessment, focuserPosition: number | null): FrameAssessment => ({
    ...frame,
    header: { ...frame.header, focuserPosition },
  });
  const { positions, positionKeyword } = flags;
  if (positions !== undefined) {
    const place = new Map(found.map(({ path }, i) => [path, positions[i]!]));
    return frames.map((frame) => placed(frame, place.get(frame.path) ?? null));
  }
  if (positionKeyword === undefined) return frames;
  const { openFits } = await import('../fits/index.js');
  return frames.map((frame) => {
    const fits = openFits(frame.path);
    try {
      const value = [fits.hdus[frame.image.hdu], fits.hdus[0]]
        .map((hdu) => hdu?.header.number(positionKeyword.toUpperCase()) ?? null)
        .find((number) => number !== null);
      return placed(frame, value ?? null);
    } finally {
      fits.close();
    }
  });
}
