import type { RigNote } from '../../rig/types.js';

/**
 * How a step stands to the note that may explain it, given the first night on the new level (YYYY-MM-DD): `after note 2, “…”` only where
 * the note is no later than that; a step can be misplaced by a few nights, so a later note reads `about when note 2 was written (date), “…”`.
 */
export function noteWords(note: RigNote, stepDate: string): string {
  const logged = note.kind === 'logged';
  const text = `“${note.text}”`;
  if (note.date <= stepDate) return logged ? `after note ${note.number}, ${text}` : `after ${text}`;
  return logged
    ? `about when note ${note.number} was written (${note.date}), ${text}`
    : `about the time of ${text} (${note.date})`;
}
