import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvField, safeLine, safeText } from '../../src/report/sanitize.js';

// Escape sequences: clear the screen, set the window title, C1 form, a link (ECMA-48 and common terminals).
const hostile = [
  '\u001b[2J',
  '\u001b]0;owned\u0007',
  '\u009b31m',
  '\u001b]8;;http://x\u001b\\',
  'a\rb',
  'a\bb',
  '\u202egnp.exe',
];

/** No character that acts on a terminal. */
const harmless = /^[^\p{Cc}\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]*$/u;

describe('safeLine and safeText', () => {
  it('leave no character that acts', () => {
    for (const text of hostile) expect(safeLine(text)).toMatch(harmless);
    fc.assert(fc.property(fc.string({ unit: 'binary' }), (text) => harmless.test(safeLine(text))));
  });

  it('leave ordinary text of any script as it is', () => {
    for (const text of ['M 31 – Hα, 300 s', '星雲', 'été', 'Ångström µm', '🔭'])
      expect(safeText(text)).toBe(text);
  });

  it('differ in the line feed', () => {
    expect(safeText('a\nb\tc')).toBe('a\nb c');
    expect(safeLine('a\nb')).toBe('a\ufffdb');
  });
});

describe('csvField', () => {
  it('quotes as RFC 4180 asks', () => {
    expect(csvField('plain')).toBe('plain');
    expect(csvField('a,b')).toBe('"a,b"');
    expect(csvField('say "x"')).toBe('"say ""x"""');
    expect(csvField(' padded ')).toBe('" padded "');
  });

  it('writes numbers as numbers and what is missing as nothing', () => {
    expect(csvField(-1.5)).toBe('-1.5');
    expect(csvField(null)).toBe('');
    expect(csvField(Number.NaN)).toBe('');
  });

  it('takes the sting out of formulas', () => {
    for (const text of [
      '=1+1',
      '+cmd|calc',
      '-2+3',
      '@SUM(A1)',
      '\t=1',
      '  =1',
      '\uff1d1',
      '\n=1',
      '=HYPERLINK("http://x")',
    ]) {
      const field = csvField(text).replace(/^"/, '');
      expect(field.startsWith("'")).toBe(true);
    }
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => !/^"?\s*[=+\-@\t\r]/.test(csvField(text))),
    );
  });
});
