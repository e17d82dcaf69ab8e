import { describe, expect, it } from 'vitest';
import { parseCard, parseCards, parseValueText, unitOf } from '../../src/fits/card.js';

const text = (...images: string[]): string => images.map((image) => image.padEnd(80)).join('');
const value = (image: string): unknown => parseCard(image.padEnd(80))?.value;

describe('values (FITS Standard 4.0, section 4.2)', () => {
  it.each([
    ['  42', 42],
    ['+7', 7],
    ['-0.5', -0.5],
    ['.25', 0.25],
    ['5.', 5],
    ['1.25D+003', 1250],
    ['2.5d-2', 0.025],
    ['T', true],
    ['F', false],
    ['', undefined],
    ['NaN', 'NaN'],
    ['9007199254740993123', 9007199254740993123n],
  ])('%s', (field, expected) => expect(parseValueText(field)).toBe(expected));

  it('complex numbers', () => {
    expect(parseValueText('(1.5, -2.5E1)')).toEqual({ re: 1.5, im: -25 });
    expect(parseValueText('(1, 2, 3)')).toBe('(1, 2, 3)');
  });
});

describe('strings', () => {
  it('double their quotes, keep slashes and leading blanks, lose trailing ones', () => {
    expect(value("KEY     = 'it''s / here  '  / comment")).toBe("it's / here");
    expect(value("KEY     = '  two'")).toBe('  two');
    expect(value("KEY     = ''")).toBe('');
  });

  it('run to the end of the card when they are not closed', () => {
    expect(value("KEY     = 'open ended")).toBe('open ended');
  });

  it('continue over CONTINUE cards, with their comments', () => {
    const [card] = parseCards(
      text("KEY     = 'one &'", "CONTINUE  'two &' / [s] a", "CONTINUE  'three' / b"),
    );
    expect(card).toEqual({ keyword: 'KEY', value: 'one two three', comment: '[s] a b' });
  });

  it('keep an ampersand that nothing continues', () => {
    expect(parseCards(text("KEY     = 'one&'", 'NEXT    = 1'))[0]!.value).toBe('one&');
  });
});

describe('beyond the standard, but met', () => {
  it('lower-case keywords, a missing blank behind =, an early =, tabs', () => {
    expect(parseCard('exptime = 30'.padEnd(80))).toMatchObject({ keyword: 'EXPTIME', value: 30 });
    expect(parseCard('EXPTIME =30'.padEnd(80))).toMatchObject({ keyword: 'EXPTIME', value: 30 });
    expect(parseCard('GAIN= 1.9 / e/ADU'.padEnd(80))).toMatchObject({ keyword: 'GAIN', value: 1.9 });
    expect(parseCard('GAIN    =\t100\t/ set'.padEnd(80))).toMatchObject({ value: 100, comment: 'set' });
  });

  it('HIERARCH names, Latin-1 letters', () => {
    expect(parseCard('HIERARCH ESO TEL  AIRM = 1.2 / air'.padEnd(80))).toMatchObject({
      keyword: 'ESO TEL AIRM',
      value: 1.2,
    });
    expect(value("OBSERVER= 'J. Mu\xf1oz'")).toBe('J. Mu\xf1oz');
  });

  it('a card without =: its text', () => {
    expect(parseCard('NOTES   some text'.padEnd(80))).toEqual({
      keyword: 'NOTES',
      value: 'some text',
      comment: '',
    });
  });
});

describe('a header', () => {
  it('keeps COMMENT and HISTORY whole, skips blanks, stops at END', () => {
    const cards = parseCards(text("COMMENT it's = 1 / 2", '', 'HISTORY  b', 'END', 'AFTER   = 1'));
    expect(cards.map(({ keyword, value: v }) => [keyword, v])).toEqual([
      ['COMMENT', " it's = 1 / 2".slice(1)],
      ['HISTORY', ' b'],
    ]);
  });
});

describe('unitOf', () => {
  it('is what the comment opens with in brackets', () => {
    expect(unitOf({ keyword: 'K', value: 1, comment: '[s] time' })).toBe('s');
    expect(unitOf({ keyword: 'K', value: 1, comment: 'time [s]' })).toBeNull();
  });
});
