import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import {
  codecParameters,
  pixelBytesOf,
  rawNumbers,
  ricePixelBytes,
  riceBlockSize,
  tileCodecs,
} from '../../../src/fits/tiles/tile-codecs.js';
import type { CodecContext } from '../../../src/fits/tiles/tile-codecs.js';
import { headerOf } from '../header-sketch.js';

const context = (bitpix: number, quantised = false): CodecContext => ({
  pixels: 2,
  bitpix,
  quantised,
  parameter: () => null,
  cellType: 'B',
});

describe('tileCodecs', () => {
  it('are all of the standard (FITS Standard 4.0, table 36), and one name from before it', () => {
    expect(Object.keys(tileCodecs).sort()).toEqual(
      ['GZIP_1', 'GZIP_2', 'HCOMPRESS_1', 'NOCOMPRESS', 'PLIO_1', 'RICE_1', 'RICE_ONE'].sort(),
    );
  });

  it('gzip, plain and shuffled', () => {
    expect([...tileCodecs.GZIP_1!(gzipSync(Uint8Array.of(1, 2, 3, 4)), context(16))]).toEqual([0x102, 0x304]);
    expect([...tileCodecs.GZIP_2!(gzipSync(Uint8Array.of(1, 3, 2, 4)), context(16))]).toEqual([0x102, 0x304]);
  });
});

describe('rawNumbers', () => {
  it('takes the width from the bytes, and floats only where nothing was quantised', () => {
    const one = Uint8Array.of(0x3f, 0x80, 0, 0, 0x40, 0, 0, 0);
    expect([...rawNumbers(one, context(-32))]).toEqual([1, 2]);
    expect(rawNumbers(one, context(-32, true))).toBeInstanceOf(Int32Array);
    expect([...rawNumbers(Uint8Array.of(1, 2), context(16))]).toEqual([1, 2]);
    expect(() => rawNumbers(new Uint8Array(6), context(16))).toThrow(/6 bytes for 2 pixels/);
    expect(() => rawNumbers(new Uint8Array(4), context(-32))).toThrow(/4 bytes for 2 pixels/);
  });
});

describe('parameters', () => {
  it('come in pairs of ZNAMEi and ZVALi', () => {
    const parameter = codecParameters(
      headerOf("ZNAME1  = 'BLOCKSIZE'", 'ZVAL1   = 16', "ZNAME2  = 'BYTEPIX'", 'ZVAL2   = 2'),
    );
    expect([parameter('BLOCKSIZE'), parameter('BYTEPIX'), parameter('SMOOTH')]).toEqual([16, 2, null]);
  });

  it('have the defaults of the standard', () => {
    expect([ricePixelBytes(context(16)), riceBlockSize(context(16))]).toEqual([4, 32]);
    expect([pixelBytesOf(context(16)), pixelBytesOf(context(-64)), pixelBytesOf(context(-64, true))]).toEqual(
      [2, 8, 4],
    );
  });
});
