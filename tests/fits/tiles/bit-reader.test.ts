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

  it.each([0, 1, 3, 4, 5, 7])('reads 4-bit numbers in one go from bit %i on', (skip) => {
    const bytes = Uint8Array.from({ length: 9 }, (_, i) => (i * 89 + 37) & 255);
    for (const count of [0, 1, 6, 7, 15]) {
      const singly = new BitReader(bytes, 0);
      const together = new BitReader(bytes, 0);
      singly.skip(skip);
      together.skip(skip);
      const want = Array.from({ length: count }, () => singly.read(4));
      const got = new Uint8Array(count);
      together.readNibbles(got);
      expect([...got]).toEqual(want);
      expect(together.read(2)).toBe(singly.read(2));
    }
    expect(() => new BitReader(bytes, 0).readNibbles(new Uint8Array(19))).toThrow(TileError);
  });

  it('turns signs of numbers that are not 0', () => {
    const values = Float64Array.of(5, 0, 6, 7);
    const reader = new BitReader(Uint8Array.of(0b10110000), 0);
    reader.readSigns(values);
    expect([...values]).toEqual([-5, 0, 6, -7]);
    expect(reader.read(1)).toBe(1);
    expect(() => new BitReader(Uint8Array.of(), 0).readSigns(values)).toThrow(TileError);
  });
});
