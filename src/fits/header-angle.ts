import type { CardValue } from './types.js';

/** A sexagesimal or decimal angle: its number and whether it was written in parts. */
export interface ParsedAngle {
  readonly value: number;
  readonly sexagesimal: boolean;
  /** `h` when the text itself says hours, `d` when it says degrees. */
  readonly mark: 'h' | 'd' | null;
}

/**
 * Read an angle written as `-00 12 34.5`, `12:34:56`, `12h34m56s`, `45d12'30"`, `-31.5`, `64.5 W`; null when it is none.
 * A sign belongs to all parts (`-00 30 00` is -0.5); a trailing W or S makes it negative. Minutes and seconds of 60 and more are refused, but for exactly 60 seconds: 59.99 rounded.
 */
export function parseAngle(value: CardValue): ParsedAngle | null {
  if (typeof value === 'number')
    return Number.isFinite(value) ? { value, sexagesimal: false, mark: null } : null;
  if (typeof value !== 'string') return null;
  const text = value.trim();
  const match =
    /^([+-]?)\s*(\d+(?:\.\d*)?)(?:\s*([hd°:\s])\s*(\d+(?:\.\d*)?)(?:\s*([m'′:\s])\s*(\d+(?:\.\d*)?)\s*[s"″]?)?\s*[m'′]?)?\s*([hd°]?)\s*([NSEW]?)$/i.exec(
      text,
    );
  if (!match) return null;
  const [, sign, first, mark1, minutes, , seconds, mark2, hemisphere] = match;
  const m = Number(minutes ?? 0);
  const s = Number(seconds ?? 0);
  if (m >= 60 || s > 60 || (minutes !== undefined && first!.includes('.'))) return null;
  const magnitude = Number(first) + m / 60 + s / 3600;
  const letter = (mark1?.trim() || mark2 || '').toLowerCase();
  const negative = (sign === '-') !== /[SW]/i.test(hemisphere ?? '');
  return {
    // Adding 0 turns -0 into 0.
    value: (negative ? -magnitude : magnitude) + 0,
    sexagesimal: minutes !== undefined,
    mark: letter === 'h' ? 'h' : letter === 'd' || letter === '°' ? 'd' : null,
  };
}
