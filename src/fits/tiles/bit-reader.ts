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

  /** Go on at the next whole byte. */
  alignToByte(): void {
    this.#bit = (this.#bit + 7) & ~7;
  }
}
