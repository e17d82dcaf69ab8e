// Header strings and file names are data from strangers: on a terminal they must not act, in a spreadsheet they must not compute.

/**
 * Whatever acts on a terminal instead of being seen: C0 and C1 controls (ECMA-48 escape sequences among them), line and paragraph
 * separators, the marks that turn the direction of writing, half surrogate pairs. Line feed is apart, see below.
 */
const acting = /[^\P{Cc}\n]|[\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu;

/** Text of several lines made safe for a terminal: every acting character but the line feed becomes a visible mark, tabs a blank. */
export function safeText(text: string): string {
  return text.replace(acting, (character) => (character === '\t' ? ' ' : '\ufffd'));
}

/** Text for one line (a name, a header string): as `safeText`, and line feeds become visible marks too. */
export function safeLine(text: string): string {
  return safeText(text).replaceAll('\n', '\ufffd');
}

/**
 * One field of a CSV row (RFC 4180). Numbers go as they are, null and non-finite as nothing. A text that a spreadsheet would take for a formula
 * (it starts with = + - @, also in full width, or with a control character) is led by an apostrophe, which spreadsheets show as text.
 */
export function csvField(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const line = safeLine(value);
  const text = /^\s*[=+\-@\uff1d\uff0b\uff0d\uff20\ufffd|%]/.test(line) ? `'${line}` : line;
  return /[",\r\n]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
}
