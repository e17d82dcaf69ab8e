import type { Card, CardValue } from './types.js';

const integer = /^[+-]?\d+$/;
const real = /^[+-]?(\d+\.?\d*|\.\d+)([EeDd][+-]?\d+)?$/;

/**
 * Type the text of a value field that is not a string (FITS Standard 4.0, section 4.2.2 to 4.2.6).
 * Empty text is `undefined`; text of no standard type is kept as it is. Integers beyond 2^53 become bigint.
 */
export function parseValueText(text: string): CardValue {
  const trimmed = text.trim();
  if (trimmed === '') return undefined;
  if (trimmed === 'T') return true;
  if (trimmed === 'F') return false;
  if (integer.test(trimmed)) {
    const value = Number(trimmed);
    return Number.isSafeInteger(value) ? value : BigInt(trimmed.replace(/^\+/, ''));
  }
  if (real.test(trimmed)) return Number(trimmed.replace(/[Dd]/, 'E'));
  if (trimmed.startsWith('(') && trimmed.endsWith(')')) {
    const parts = trimmed.slice(1, -1).split(',');
    const [re, im] = parts.map((part) => parseValueText(part));
    if (parts.length === 2 && typeof re === 'number' && typeof im === 'number') return { re, im };
  }
  return trimmed;
}

/** A string value's text and where it ends: quotes are doubled inside (section 4.2.1); an unclosed one runs to the end. */
function readQuoted(field: string, start: number): { text: string; end: number } {
  let text = '';
  let at = start + 1;
  for (;;) {
    const quote = field.indexOf("'", at);
    if (quote < 0) return { text: text + field.slice(at), end: field.length };
    text += field.slice(at, quote);
    if (field[quote + 1] !== "'") return { text, end: quote + 1 };
    text += "'";
    at = quote + 2;
  }
}

/** Split a value field into its typed value and its comment. */
function parseField(field: string): { value: CardValue; comment: string } {
  const first = field.search(/\S/);
  if (first >= 0 && field[first] === "'") {
    const { text, end } = readQuoted(field, first);
    const slash = field.indexOf('/', end);
    // Trailing blanks are not significant, leading ones are.
    return { value: text.trimEnd(), comment: slash < 0 ? '' : field.slice(slash + 1).trim() };
  }
  const slash = field.indexOf('/');
  const valueText = slash < 0 ? field : field.slice(0, slash);
  return { value: parseValueText(valueText), comment: slash < 0 ? '' : field.slice(slash + 1).trim() };
}

const commentary = new Set(['COMMENT', 'HISTORY', '']);

/**
 * One 80-character card image as a card, or null for a blank one and for END.
 * Tolerated beyond the standard: lower-case keywords, tabs, a value indicator without its blank or before column 9.
 * A CONTINUE card comes back as such; `parseCards` joins it.
 */
export function parseCard(image: string): Card | null {
  const keyword = image.slice(0, 8).trimEnd().toUpperCase();
  if (keyword === 'END' && image.slice(8).trim() === '') return null;
  if (commentary.has(keyword)) {
    const text = image.slice(8).trimEnd();
    return keyword === '' && text.trim() === '' ? null : { keyword, value: text, comment: '' };
  }
  if (keyword === 'CONTINUE' && image[8] !== '=') return { keyword, ...parseField(image.slice(8)) };
  if (keyword === 'HIERARCH' && image[8] !== '=') {
    const equals = image.indexOf('=', 8);
    if (equals > 0) {
      const name = image.slice(8, equals).trim().replace(/\s+/g, ' ').toUpperCase();
      return { keyword: name, ...parseField(image.slice(equals + 1)) };
    }
  }
  if (image[8] === '=') return { keyword, ...parseField(image.slice(9)) };
  const loose = /^\s*([A-Za-z0-9_-]{1,8})\s*=/.exec(image);
  if (loose) return { keyword: loose[1]!.toUpperCase(), ...parseField(image.slice(loose[0].length)) };
  return { keyword, value: image.slice(8).trimEnd(), comment: '' };
}

/**
 * All cards of a header's text (a multiple of 80 characters, one per byte), with long strings joined over CONTINUE
 * (section 4.2.1.2). Stops at END.
 */
export function parseCards(text: string): Card[] {
  const cards: Card[] = [];
  for (let at = 0; at + 80 <= text.length; at += 80) {
    const image = text.slice(at, at + 80);
    if (image.startsWith('END') && image.slice(3).trim() === '') break;
    const card = parseCard(image);
    if (!card) continue;
    const last = cards[cards.length - 1];
    if (
      card.keyword === 'CONTINUE' &&
      typeof card.value === 'string' &&
      last &&
      typeof last.value === 'string' &&
      last.value.endsWith('&') &&
      !commentary.has(last.keyword)
    ) {
      const comment = [last.comment, card.comment].filter((part) => part !== '').join(' ');
      cards[cards.length - 1] = {
        keyword: last.keyword,
        value: last.value.slice(0, -1) + card.value,
        comment,
      };
    } else {
      cards.push(card);
    }
  }
  return cards;
}

/** The unit that a comment opens with in square brackets (section 4.3.2), or null. */
export function unitOf(card: Card): string | null {
  const match = /^\s*[[(]([^\])]*)[\])]/.exec(card.comment);
  return match ? match[1]!.trim() : null;
}
