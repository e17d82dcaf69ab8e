import { describe, expect, it } from 'vitest';
import { Header } from '../../src/fits/header.js';
import { settleImageStructure } from '../../src/fits/image-structure.js';
import { readStructure } from '../../src/fits/structure.js';
import type { HduStructure } from '../../src/fits/structure.js';
import { timed } from '../scenes/processor-time.js';

const image = ['SIMPLE  = T', 'BITPIX  = 16', 'NAXIS   = 2', 'NAXIS1  = 40', 'NAXIS2  = 30'];

function settle(images: readonly string[]): string[] {
  const text = images.map((line) => line.padEnd(80)).join('');
  return settleImageStructure(text, readStructure(Header.fromText(text)) as HduStructure);
}

describe('settleImageStructure', () => {
  it('has nothing to say when both readers agree', () => {
    expect(settle(image)).toEqual([]);
    expect(settle([...image, "OBJECT  = 'M 13'", 'COMMENT  a'])).toEqual([]);
  });

  it('tells where they do not: fitsjs takes the last of repeated cards, the standard the first', () => {
    expect(settle([...image, 'NAXIS1  = 50']).join()).toMatch(
      /BITPIX 16, 40 x 30; a second reader makes it BITPIX 16, 50 x 30/,
    );
  });

  it('tells of mandatory cards out of place', () => {
    const [simple, bitpix, naxis, ...axes] = image;
    expect(settle([simple!, naxis!, bitpix!, ...axes]).join()).toMatch(/BITPIX does not stand where/);
  });

  it('turns what fitsjs throws into a warning', () => {
    const [, ...rest] = image;
    expect(settle(["XTENSION= 'IMAGE'", ...rest, 'EXTEND  = T']).join()).toMatch(/breaks a rule.*EXTEND/);
  });

  // Found by mutation: fitsjs loops over NAXIS3 planes even when NAXIS = 2, up or down.
  it.each(['2147483648', '-2147483648'])('is not kept busy by a stray NAXIS3 = %s', (planes) => {
    const { result, processorMs } = timed(() => settle([...image, `NAXIS3  = ${planes}`]));
    expect(result.join()).toMatch(/NAXIS3 is/);
    expect(processorMs).toBeLessThan(1000);
  });

  it('leaves to itself what fitsjs does not know', () => {
    expect(settle(image.map((line) => line.replace('16', '64')))).toEqual([]);
  });

  it('leaves no mark on the process', () => {
    settle(image);
    expect(Object.hasOwn(File.prototype, 'slice')).toBe(false);
    expect('astro' in globalThis).toBe(false);
  });
});
