import { describe, expect, it } from 'vitest';
import { decodePlio } from '../../../src/fits/tiles/plio.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

/** A line list of the old form: its length in word 2. */
function lineList(...instructions: number[]): Uint8Array {
  const words = [0, 0, instructions.length + 3, ...instructions];
  const bytes = new DataView(new ArrayBuffer(words.length * 2));
  words.forEach((word, i) => bytes.setInt16(2 * i, word));
  return new Uint8Array(bytes.buffer);
}
const instruction = (code: number, amount: number): number => code * 4096 + amount;
function decode(length: number, ...instructions: number[]): number[] {
  const out = new Int32Array(length);
  decodePlio(lineList(...instructions), out);
  return [...out];
}

// Instructions by FITS Standard 4.0, table 37.
describe('decodePlio', () => {
  it('draws zeros, runs and single pixels', () => {
    expect(decode(7, instruction(0, 2), instruction(4, 3), instruction(5, 2))).toEqual([0, 0, 1, 1, 1, 0, 1]);
  });

  it('raises, lowers and sets the value', () => {
    expect(decode(3, instruction(2, 9), instruction(4, 1), instruction(3, 4), instruction(4, 2))).toEqual([
      10, 6, 6,
    ]);
    expect(decode(2, instruction(1, 5), 3, instruction(4, 2))).toEqual([3 * 4096 + 5, 3 * 4096 + 5]);
    expect(decode(2, instruction(6, 4), instruction(7, 2))).toEqual([5, 3]);
  });

  it('leaves what is not drawn at zero, and draws nothing past the end', () => {
    expect(decode(3, instruction(4, 1))).toEqual([1, 0, 0]);
    expect(decode(2, instruction(4, 50))).toEqual([1, 1]);
  });

  it('throws for a list cut short', () => {
    const whole = lineList(instruction(4, 1), instruction(4, 1));
    expect(() => decodePlio(whole.subarray(0, 8), new Int32Array(2))).toThrow(TileError);
    expect(() => decodePlio(new Uint8Array(2), new Int32Array(2))).toThrow(/too short/);
    expect(() => decode(2, instruction(1, 0))).toThrow(/cut short/);
  });
});
