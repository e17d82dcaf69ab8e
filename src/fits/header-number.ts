import { unitOf } from './card.js';
import type { Card } from './types.js';

/**
 * The number a card holds, also when it was written as a string with a unit behind (`'13 C'`, `'0.019 mm'`), with that unit or
 * the one its comment opens with. Null when there is no finite number.
 */
export function cardNumber(card: Card): { readonly value: number; readonly unit: string | null } | null {
  const { value } = card;
  if (typeof value === 'number') return Number.isFinite(value) ? { value, unit: unitOf(card) } : null;
  if (typeof value === 'bigint') return { value: Number(value), unit: unitOf(card) };
  if (typeof value !== 'string') return null;
  const match = /^\s*([+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[EeDd][+-]?\d+)?)\s*([A-Za-z°"'/%-]*)\s*$/.exec(value);
  if (!match) return null;
  const number = Number(match[1]!.replace(',', '.').replace(/[Dd]/, 'e'));
  return Number.isFinite(number) ? { value: number, unit: match[2] || unitOf(card) } : null;
}
