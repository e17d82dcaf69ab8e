import stringWidth from 'string-width';

/** How text for a terminal may look: width of the terminal (null: piped, no limit) and whether colour may be used. */
export interface TerminalStyle {
  readonly columns: number | null;
  readonly color: boolean;
}

const codes = { bold: [1, 22], dim: [2, 22], warn: [33, 39], good: [36, 39] } as const;

/** Text with a colour or weight, or as it is where colour is off. The meaning must stand without it. */
export function paint(text: string, look: keyof typeof codes, style: TerminalStyle): string {
  const [on, off] = codes[look];
  return style.color && text !== '' ? `\u001b[${on}m${text}\u001b[${off}m` : text;
}

/** Fills up to a width in terminal cells (wide characters count two); longer text stays as it is. */
export function padCell(text: string, width: number, side: 'left' | 'right' = 'left'): string {
  const fill = ' '.repeat(Math.max(0, width - stringWidth(text)));
  return side === 'left' ? text + fill : fill + text;
}

/** Cuts to a width in cells and marks the cut; `keep` says which end stays. */
export function clipCell(text: string, width: number, keep: 'start' | 'end' = 'start'): string {
  if (stringWidth(text) <= width) return text;
  if (width <= 1) return width <= 0 ? '' : '…';
  const characters = [...text];
  let kept = '';
  while (characters.length > 0) {
    const next = keep === 'start' ? characters.shift()! : characters.pop()!;
    const longer = keep === 'start' ? kept + next : next + kept;
    if (stringWidth(longer) > width - 1) break;
    kept = longer;
  }
  return keep === 'start' ? `${kept}…` : `…${kept}`;
}

/**
 * Breaks a paragraph at blanks to lines of at most `width` cells, following lines set in by `indent`, leading blanks kept; a word longer than a line is cut.
 * `width` null leaves it on one line.
 */
export function wrapText(text: string, width: number | null, indent = ''): string {
  if (width === null) return text;
  const lines: string[] = [];
  const start = /^ */.exec(text)![0];
  let line = start;
  for (const [, gap, whole] of text.trim().matchAll(/( *)([^ ]+)/g)) {
    let word = whole;
    const joined = line.trim() === '' ? line + word : line + gap + word;
    if (stringWidth(joined) <= width) {
      line = joined;
      continue;
    }
    if (line.trim() !== '') lines.push(line);
    const room = width - stringWidth(indent);
    while (room > 0 && stringWidth(word) > room) {
      const head = takeCells(word, room);
      lines.push(indent + head);
      word = word.slice(head.length);
    }
    line = indent + word;
  }
  lines.push(line);
  return lines.join('\n');
}

/** Of a line in columns, the last one's start must leave this part of the width for its words to be set in there. */
const FARTHEST_INDENT = 0.62;

/**
 * Breaks every line of a text that is wider than `width` (see `wrapText`; null: none), following lines set in to where the words of a
 * list entry, or of the last column (two blanks before it), begin; else by two more than the line itself.
 */
export function wrapLines(text: string, width: number | null): string {
  if (width === null) return text;
  return text
    .split('\n')
    .map((line) =>
      stringWidth(line) <= width ? line : wrapText(line, width, ' '.repeat(hangingIndent(line, width))),
    )
    .join('\n');
}

function hangingIndent(line: string, width: number): number {
  const lastColumn = stringWidth(/^.*[^ ] {2,}(?=[^ ])/.exec(line)?.[0] ?? '');
  if (lastColumn > 0 && lastColumn <= FARTHEST_INDENT * width) return lastColumn;
  const entry = /^ *(?:[-+*] |\d+\. )/.exec(line)?.[0];
  return entry === undefined ? /^ */.exec(line)![0].length + 2 : entry.length;
}

function takeCells(text: string, width: number): string {
  let head = '';
  for (const character of text) {
    if (head !== '' && stringWidth(head + character) > width) break;
    head += character;
  }
  return head;
}
