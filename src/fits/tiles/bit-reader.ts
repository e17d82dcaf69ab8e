import { TileError } from './tile-error.js';

/** Reads bits, most significant first, from bytes; throws TileError past the end. */
export class BitReader {
  readonly #bytes: Uint8Array;
  readonly #endBit: number;
  #bit: number;

  constructor(bytes: Uint8Array, startByte: number) {
    this.#bytes = bytes;
    this.#endBit = bytes.length * 8;
    this.#bit = startByte * 8;
  }

  /** The next `count` bits (at most 8) without taking them; zeros past the end. */
  peek(count: number): number {
    const byte = this.#bit >> 3;
    const window = (this.#bytes[byte]! << 8) | this.#bytes[byte + 1]!;
    return (window >> (16 - (this.#bit & 7) - count)) & ((1 << count) - 1);
  }

  skip(count: number): void {
    this.#bit += count;
    if (this.#bit > this.#endBit) throw new TileError('ends before its pixels do');
  }

  read(count: number): number {
    const value = this.peek(count);
    this.skip(count);
    return value;
  }

  /** Fill `out` with 4-bit numbers. */
  readNibbles(out: Uint8Array): void {
    const bytes = this.#bytes;
    const shift = 12 - (this.#bit & 7);
    let byte = this.#bit >> 3;
    this.skip(4 * out.length);
    const pairs = out.length >> 1;
    for (let i = 0; i < pairs; i++, byte++) {
      const window = (bytes[byte]! << 8) | bytes[byte + 1]!;
      out[2 * i] = (window >> shift) & 15;
      // The second one starts 4 bits on: in the same 16 bits, or half of it in the next byte.
      out[2 * i + 1] = (shift >= 4 ? window >> (shift - 4) : (window << 4) | (bytes[byte + 2]! >> 4)) & 15;
    }
    if (out.length % 2 === 1) out[out.length - 1] = (((bytes[byte]! << 8) | bytes[byte + 1]!) >> shift) & 15;
  }

  /** Turn the sign of each number that is not 0 and whose bit is 1; zeros have no bit. */
  readSigns(values: Float64Array): void {
    const bytes = this.#bytes;
    let bit = this.#bit;
    for (let i = 0; i < values.length; i++) {
      const value = values[i]!;
      if (value === 0) continue;
      // Signs are as good as random: no branch on them.
      values[i] = value * (1 - (((bytes[bit >> 3]! << (bit & 7)) & 128) >> 6));
      bit++;
    }
    this.skip(bit - this.#bit);
  }

  /** Go on at the next whole byte. */
  alignToByte(): void {
    this.#bit = (this.#bit + 7) & ~7;
  }
}
