import type { Header } from './header.js';
import type { Card } from './types.js';

/** What a reader made of one card: a value, or in words why it is of no use. */
export type CardReading<T> = { readonly value: T; readonly note?: string } | { readonly problem: string };

/** Collects values with the keyword each came from, and the reasons for those that are missing. */
export class FieldCollector {
  readonly sources: Record<string, string> = {};
  readonly missing: Record<string, string> = {};
  readonly #header: Header;

  constructor(header: Header) {
    this.#header = header;
  }

  /** The first of the keywords whose card reads well; else null, with the first problem met, or "not in the header". */
  pick<T>(field: string, keywords: readonly string[], read: (card: Card) => CardReading<T>): T | null {
    let problem: string | null = null;
    for (const keyword of keywords) {
      const card = this.#header.card(keyword);
      if (!card) continue;
      // A card without a value, or with an empty string, says nothing.
      if (card.value === undefined || card.value === '') {
        problem ??= `${keyword} is empty`;
        continue;
      }
      const reading = read(card);
      if ('value' in reading) {
        this.found(field, reading.note ? `${keyword} (${reading.note})` : keyword);
        return reading.value;
      }
      problem ??= `${keyword} = ${describe(card)}: ${reading.problem}`;
    }
    this.missing[field] = problem ?? `none of ${keywords.slice(0, 3).join(', ')} in the header`;
    return null;
  }

  /** Note a value found by other means. */
  found(field: string, source: string): void {
    this.sources[field] = source;
    delete this.missing[field];
  }

  absent(field: string, reason: string): void {
    this.missing[field] = reason;
  }
}

function describe(card: Card): string {
  return typeof card.value === 'string' ? `'${card.value}'` : String(card.value);
}
