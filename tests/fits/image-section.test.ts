import { describe, expect, it } from 'vitest';
import { lightSection } from '../../src/fits/image-section.js';
import { headerOf } from './header-sketch.js';

const of = (...cards: string[]): ReturnType<typeof lightSection> =>
  lightSection(headerOf(...cards), 536, 520);

describe('lightSection', () => {
  it('takes TRIMSEC before DATASEC, blanks inside and either end first', () => {
    expect(of("TRIMSEC = '[  17: 528,   1: 520]'", "DATASEC = '[1:500,1:520]'")).toEqual({
      x0: 16,
      y0: 0,
      width: 512,
      height: 520,
      source: "TRIMSEC = '[17:528,1:520]'",
    });
    expect(of("DATASEC = '[512:1,1:512]'")).toMatchObject({ x0: 0, y0: 0, width: 512, height: 512 });
  });

  it('takes what lies before an overscan strip at the end of rows or columns', () => {
    expect(of("BIASSEC = '[520:536,1:512]'")).toMatchObject({ x0: 0, width: 519, height: 520 });
    expect(of("BIASSEC = '[1:536,511:520]'")).toMatchObject({ y0: 0, width: 536, height: 510 });
  });

  it.each([
    ['no card', []],
    ['the whole image', ["DATASEC = '[1:536,1:520]'"]],
    ['a section from before trimming or binning', ["TRIMSEC = '[17:1040,1:1024]'"]],
    ['words', ["TRIMSEC = 'UNKNOWN'", "BIASSEC = 'UNKNOWN'"]],
    ['a section of no use', ["DATASEC = '[1:4,1:520]'"]],
    ['pixels counted from 0', ["DATASEC = '[0:511,0:519]'"]],
    ['a strip in the middle', ["BIASSEC = '[250:260,1:520]'"]],
    ['a strip at the start, perhaps trimmed already', ["BIASSEC = '[4:13,1:520]'"]],
    [
      'a trimmed image with the cards of the raw one',
      ["TRIMSEC = '[17:537,1:530]'", "BIASSEC = '[520:536,1:520]'"],
    ],
    ['a short strip', ["BIASSEC = '[530:536,1:100]'"]],
    ['a wide strip', ["BIASSEC = '[300:536,1:520]'"]],
  ])('null for %s', (_, cards) => expect(of(...cards)).toBeNull());
});
