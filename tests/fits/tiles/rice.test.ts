import { describe, expect, it } from 'vitest';
import { decodeRice } from '../../../src/fits/tiles/rice.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

/** Bytes from a string of bits. */
function bits(text: string): Uint8Array {
  const packed = text.replace(/\s/g, '');
  return Uint8Array.from({ length: Math.ceil(packed.length / 8) }, (_, i) =>
    parseInt(packed.slice(8 * i, 8 * i + 8).padEnd(8, '0'), 2),
  );
}

// Codes written by hand from FITS Standard 4.0, section 10.4.1; whole images are checked in tests/reference/fits.
describe('decodeRice', () => {
  it('a block of equal pixels is code 0', () => {
    const out = new Int16Array(5);
    decodeRice(bits('0000000000000111 0000'), 32, out);
    expect([...out]).toEqual([7, 7, 7, 7, 7]);
  });

  it('low bits behind unary high bits, differences folded to 0, -1, 1, -2', () => {
    // 8-bit: first pixel 10, code 2 = one low bit; differences 0, +1 (2), -1 (1), +2 (4).
    const out = new Uint8Array(4);
    decodeRice(bits('00001010 010 10 010 11 0010'), 32, out);
    expect([...out]).toEqual([10, 11, 10, 12]);
  });

  it('plain pixels behind the highest code', () => {
    // 16-bit: code 15; differences 0, +300 (600), -300 (599).
    const word = (n: number): string => n.toString(2).padStart(16, '0');
    const out = new Int16Array(3);
    decodeRice(bits(`${word(100)} 1111 ${word(0)} ${word(600)} ${word(599)}`), 32, out);
    expect([...out]).toEqual([100, 400, 100]);
  });

  it('wraps sums at the width of the pixel', () => {
    const out = new Uint8Array(2);
    decodeRice(bits('11111111 010 10 010'), 32, out);
    expect([...out]).toEqual([255, 0]);
  });

  it('throws when the bytes end first, or hold a code that does not exist', () => {
    expect(() => decodeRice(bits('0000000000000111 0010 1'), 32, new Int16Array(20))).toThrow(TileError);
    expect(() => decodeRice(new Uint8Array(1), 32, new Int16Array(2))).toThrow(/too short/);
    expect(() => decodeRice(bits(`${'0'.repeat(32)} 11111`), 32, new Int32Array(2))).toThrow(
      /does not exist/,
    );
  });
});
