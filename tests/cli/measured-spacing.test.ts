import { describe, expect, it } from 'vitest';
import { measuredFromDocument, measuredMm } from '../../src/cli/measured-spacing.js';
import { UsageError } from '../../src/errors.js';

describe('a measured spacing error as mm', () => {
  it.each([
    ['-0.8', -0.8],
    ['−0,8 mm', -0.8],
    ['0.25mm', 0.25],
  ])('reads %s', (text, value) => {
    expect(measuredMm(text)).toBe(value);
  });

  it('takes everything else for a file, and refuses nonsense', () => {
    expect(measuredMm('ladder.json')).toBeNull();
    expect(measuredMm('')).toBeNull();
    expect(() => measuredMm('5000')).toThrow(UsageError);
  });
});

describe('a measured spacing error in a document', () => {
  const read = (document: unknown, atMm: number | null = null) =>
    measuredFromDocument(JSON.stringify(document), 'x.json', atMm, 54.2);

  it('is a sweep’s own', () => {
    expect(read({ schema: 'starassay/sweep@1', spacing: { errorMm: -0.4 } }).errorMm).toBe(-0.4);
  });

  it('is the distance from a ladder’s best spacing, counted where it is said or by the length', () => {
    const ladder = { schema: 'starassay/ladder@1', bestSpacingMm: 55 };
    expect(read(ladder, 54.5).errorMm).toBe(-0.5);
    expect(read(ladder)).toEqual({
      errorMm: -0.8,
      source: 'ladder x.json: the train’s own 54.20 mm against the best 55.00 mm',
    });
  });

  it.each([
    [
      'a sweep without sensitivity',
      { schema: 'starassay/sweep@1', spacing: { errorMm: null } },
      /--sensitivity/,
    ],
    ['a ladder without result', { schema: 'starassay/ladder@1', bestSpacingMm: null }, /advice/],
    ['another document', { schema: 'starassay/night@1' }, /ladder/],
  ])('has words for %s', (_, document, remedy) => {
    expect(() => read(document)).toThrow(UsageError);
    try {
      read(document);
    } catch (error) {
      expect((error as UsageError).remedy).toMatch(remedy);
    }
  });

  it('has the same words for what is no JSON', () => {
    expect(() => measuredFromDocument('words', 'x', null, 1)).toThrow('neither a number');
  });
});
