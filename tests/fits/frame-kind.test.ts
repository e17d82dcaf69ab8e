import { describe, expect, it } from 'vitest';
import { readFrameKind } from '../../src/fits/frame-kind.js';
import { headerOf } from './header-sketch.js';

describe('readFrameKind', () => {
  it.each([
    ["IMAGETYP= 'Light Frame'", 'light'],
    ["IMAGETYP= 'LIGHT'", 'light'],
    ["IMAGETYP= 'object    '", 'light'],
    ["OBSTYPE = 'EXPOSE  '", 'light'],
    ["FRAME   = 'Light'", 'light'],
    ["IMAGETYP= 'Dark Frame'", 'dark'],
    ["IMAGETYP= 'Dark Flat'", 'dark'],
    ["IMAGETYP= 'Flat Field'", 'flat'],
    ["IMAGETYP= 'SKYFLAT'", 'flat'],
    ["IMAGETYP= 'zero'", 'bias'],
    ["IMAGETYP= 'Bias Frame'", 'bias'],
    ["IMAGETYP= 'whatever'", 'unknown'],
    ["OBJECT  = 'dark nebula'", 'unknown'],
  ])('%s', (card, kind) => expect(readFrameKind(headerOf(card)).kind).toBe(kind));

  it('goes on to the next keyword when one does not tell', () => {
    expect(readFrameKind(headerOf("IMAGETYP= ''", "OBSTYPE = 'FLAT'"))).toEqual({
      kind: 'flat',
      source: 'OBSTYPE',
    });
  });
});
