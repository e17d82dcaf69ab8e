import { describe, expect, it } from 'vitest';
import stringWidth from 'string-width';
import { clipCell, padCell, paint, wrapLines, wrapText } from '../../src/report/terminal-text.js';

describe('cells', () => {
  it('are filled by what a terminal shows, wide characters counting two', () => {
    expect(padCell('ab', 4)).toBe('ab  ');
    expect(padCell('1.5', 5, 'right')).toBe('  1.5');
    expect(padCell('星', 4)).toBe('星  ');
    expect(padCell('long', 2)).toBe('long');
  });

  it('are clipped at either end, with a mark', () => {
    expect(clipCell('sub_0042.fits', 9)).toBe('sub_0042…');
    expect(clipCell('sub_0042.fits', 10, 'end')).toBe('…0042.fits');
    expect(clipCell('星星星', 4)).toBe('星…');
    expect(clipCell('abc', 3)).toBe('abc');
    expect([clipCell('abc', 1), clipCell('abc', 0)]).toEqual(['…', '']);
  });
});

describe('wrapText', () => {
  it('breaks at blanks, sets following lines in, keeps leading blanks', () => {
    expect(wrapText('  one two three', 9, '    ')).toBe('  one two\n    three');
  });

  it('cuts a word that no line can hold', () => {
    const lines = wrapText('see abcdefghijklmnop now', 8, '  ').split('\n');
    expect(lines.every((line) => line.length <= 8)).toBe(true);
    expect(lines.join('').replaceAll(' ', '')).toBe('seeabcdefghijklmnopnow');
  });

  it('leaves piped text on one line', () => {
    expect(wrapText('a b c', null)).toBe('a b c');
    expect(wrapText('', 10)).toBe('');
  });
});

describe('wrapLines', () => {
  it('sets the rest of an entry in to its words, of a last column to that column, else by two', () => {
    expect(wrapLines('  - one two three\nshort', 12)).toBe('  - one two\n    three\nshort');
    expect(wrapLines('  1. one two three', 13)).toBe('  1. one two\n     three');
    expect(wrapLines('  Fit   93 %  of the stars explained', 28)).toBe(
      '  Fit   93 %  of the stars\n              explained',
    );
    expect(wrapLines(' one two three', 9)).toBe(' one two\n   three');
  });

  it('keeps every line within the width, and piped text as it is', () => {
    const text = `${'a  '.repeat(60)}\n- ${'word '.repeat(50)}\n${'x'.repeat(300)}`;
    for (const width of [20, 40, 80]) {
      for (const line of wrapLines(text, width).split('\n'))
        expect(stringWidth(line)).toBeLessThanOrEqual(width);
    }
    expect(wrapLines(text, null)).toBe(text);
  });
});

it('paint adds codes only where colour is on', () => {
  expect(paint('x', 'bold', { columns: 80, color: false })).toBe('x');
  expect(paint('x', 'bold', { columns: 80, color: true })).toBe('\u001b[1mx\u001b[22m');
});
