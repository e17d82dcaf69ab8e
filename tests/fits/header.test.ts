import { describe, expect, it } from 'vitest';
import { Header } from '../../src/fits/header.js';

const header = Header.fromText(
  [
    'A       = 1',
    'A       = 2',
    "TEXT    = 'x'",
    'BIG     = 9223372036854775808',
    'HALF    = 0.5',
    'WHOLE   = 16.',
    'NONE    =',
  ]
    .map((image) => image.padEnd(80))
    .join(''),
);

describe('Header', () => {
  it('finds the first of repeated keywords, whatever the case', () => {
    expect(header.get('A')).toBe(1);
    expect(header.get('a')).toBe(1);
    expect(header.cards).toHaveLength(7);
  });

  it('tells a card without a value from no card', () => {
    expect([header.has('NONE'), header.get('NONE')]).toEqual([true, undefined]);
    expect([header.has('OTHER'), header.get('OTHER'), header.card('OTHER')]).toEqual([
      false,
      undefined,
      undefined,
    ]);
  });

  it('gives numbers, integers and texts of the right type only', () => {
    expect(header.number('BIG')).toBe(2 ** 63);
    expect(header.number('TEXT')).toBeNull();
    expect([header.integer('WHOLE'), header.integer('HALF'), header.integer('BIG')]).toEqual([
      16,
      null,
      null,
    ]);
    expect([header.text('TEXT'), header.text('A')]).toEqual(['x', null]);
  });
});
