import type { FrameAssessment } from '../field/types.js';

/** Different notes told one by one; a night with more has a problem that a list would bury. */
const MOST_NOTES = 8;

/**
 * What the frames' own warnings say (overscan left out, plate scales in conflict, rows salvaged), each kind once with the frames concerned. Warnings that differ in their numbers
 * alone are of one kind, told as the first frame has it.
 */
export function frameNotes(frames: readonly Pick<FrameAssessment, 'file' | 'warnings'>[]): string[] {
  const kinds = new Map<string, { readonly text: string; readonly file: string; count: number }>();
  for (const { file, warnings } of frames) {
    const own = new Map(warnings.map((text) => [text.replace(/\d+(\.\d+)?/g, '#'), text]));
    for (const [kind, text] of own) {
      const known = kinds.get(kind);
      if (known) known.count += 1;
      else kinds.set(kind, { text, file, count: 1 });
    }
  }
  const told = [...kinds.values()].slice(0, MOST_NOTES).map(({ text, file, count }) => {
    if (count === 1) return `${file}: ${text}`;
    const who = count === frames.length ? `all ${count} frames` : `${count} of ${frames.length} frames`;
    return `${who} (here ${file}): ${text}`;
  });
  const rest = kinds.size - told.length;
  return rest > 0 ? [...told, `and ${rest} more kinds of notes, in the JSON with each frame`] : told;
}
