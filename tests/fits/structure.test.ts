import { describe, expect, it } from 'vitest';
import { Header } from '../../src/fits/header.js';
import { readStructure } from '../../src/fits/structure.js';

const structure = (cards: Record<string, string>): ReturnType<typeof readStructure> =>
  readStructure(
    Header.fromText(
      Object.entries(cards)
        .map(([keyword, value]) => `${keyword.padEnd(8)}= ${value}`.padEnd(80))
        .join(''),
    ),
  );
const image = { SIMPLE: 'T', BITPIX: '-32', NAXIS: '2', NAXIS1: '5', NAXIS2: '7' };

describe('readStructure (FITS Standard 4.0, sections 4.4.1 and 6)', () => {
  it('sizes an image', () => {
    expect(structure(image)).toMatchObject({
      bitpix: -32,
      axes: [5, 7],
      dataBytes: 140,
      randomGroups: false,
    });
    expect(structure({ SIMPLE: 'T', BITPIX: '8', NAXIS: '0' })).toMatchObject({ axes: [], dataBytes: 0 });
  });

  it('adds the heap of a table, and ignores PCOUNT left over in a primary header', () => {
    const table = {
      XTENSION: "'BINTABLE'",
      BITPIX: '8',
      NAXIS: '2',
      NAXIS1: '8',
      NAXIS2: '3',
      PCOUNT: '100',
      GCOUNT: '1',
    };
    expect(structure(table)).toMatchObject({ dataBytes: 124 });
    expect(structure({ ...image, PCOUNT: '100' })).toMatchObject({ dataBytes: 140 });
  });

  it('sizes random groups', () => {
    const groups = { ...image, NAXIS1: '0', GROUPS: 'T', PCOUNT: '3', GCOUNT: '10' };
    expect(structure(groups)).toMatchObject({ randomGroups: true, dataBytes: 4 * 10 * (3 + 7) });
  });

  it.each([
    ['BITPIX', '12', /BITPIX is '12'/],
    ['NAXIS', '-1', /NAXIS is '-1'/],
    ['NAXIS2', 'T', /NAXIS2 is 'true'/],
    ['NAXIS2', '', /NAXIS2 is empty/],
  ])('says what is wrong with %s = %s', (keyword, value, problem) => {
    expect((structure({ ...image, [keyword]: value }) as { problem: string }).problem).toMatch(problem);
  });

  it('refuses products beyond exact integers', () => {
    const huge = structure({ ...image, NAXIS1: '4294967296', NAXIS2: '4294967296' });
    expect(huge).toEqual({ problem: expect.stringMatching(/too large to exist/) as string });
  });
});
