import { parseCards } from './card.js';
import type { Card, CardValue } from './types.js';

/** The cards of one header, found by keyword; of repeated keywords the first counts. */
export class Header {
  readonly cards: readonly Card[];
  readonly #byKeyword = new Map<string, Card>();

  constructor(cards: readonly Card[]) {
    this.cards = cards;
    for (const card of cards) {
      if (!this.#byKeyword.has(card.keyword)) this.#byKeyword.set(card.keyword, card);
    }
  }

  /** Parse the text of a header, one character a byte (Latin-1), 80 to a card. */
  static fromText(text: string): Header {
    return new Header(parseCards(text));
  }

  has(keyword: string): boolean {
    return this.#byKeyword.has(keyword.toUpperCase());
  }

  /** The first card of that keyword; HIERARCH keywords go by their name without the word HIERARCH. */
  card(keyword: string): Card | undefined {
    return this.#byKeyword.get(keyword.toUpperCase());
  }

  /** The value, `undefined` when the card is missing or holds none. */
  get(keyword: string): CardValue {
    return this.card(keyword)?.value;
  }

  /** The value as a number when it is one (bigint included), else null. */
  number(keyword: string): number | null {
    const value = this.get(keyword);
    if (typeof value === 'number') return value;
    return typeof value === 'bigint' ? Number(value) : null;
  }

  /** The value as an integer when it is one, else null: `16.` counts, `16.5` does not. */
  integer(keyword: string): number | null {
    const value = this.number(keyword);
    return value !== null && Number.isSafeInteger(value) ? value : null;
  }

  /** The value when it is a string, else null. */
  text(keyword: string): string | null {
    const value = this.get(keyword);
    return typeof value === 'string' ? value : null;
  }
}
