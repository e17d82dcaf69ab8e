import { describe, expect, it } from 'vitest';
import { BitReader } from '../../../src/fits/tiles/bit-reader.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

describe('BitReader', () => {
  it('reads most significant bits first, across bytes', () => {
    const reader = new BitReader(Uint8Array.of(0xff, 0b10110011, 0b01010000), 1);
    expect([reader.read(3), reader.peek(5), reader.read(5), reader.read(4)]).toEqual([5, 19, 19, 5]);
  });

  it('aligns to the next byte, and stays at one', () => {
    const reader = new BitReader(Uint8Array.of(0x80, 0x40), 0);
    reader.read(1);
    reader.alignToByte();
    reader.alignToByte();
    expect(reader.read(2)).toBe(1);
  });

  it('peeks zeros past the end, but does not go there', () => {
    const reader = new BitReader(Uint8Array.of(0xff), 0);
    reader.skip(6);
    expect(reader.peek(6)).toBe(0b110000);
    expect(() => reader.read(3)).toThrow(TileError);
  });
});
