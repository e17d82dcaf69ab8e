import { TileError } from './tile-error.js';

/** Where decoded integers go; the array's own width wraps the running sum as the encoder's did. */
export type RiceOutput = Uint8Array | Int16Array | Int32Array;

/**
 * Decode RICE_1 (FITS Standard 4.0, section 10.4.1; Rice, Yeh & Miller 1993): differences of neighbouring pixels in blocks,
 * each block with its own number of low bits. `out` is filled to its end; its element size is BYTEPIX.
 * Throws TileError when the bytes end before the pixels do.
 */
export function decodeRice(bytes: Uint8Array, blockSize: number, out: RiceOutput): void {
  const pixelBytes = out.BYTES_PER_ELEMENT;
  // Bits of the block's code, the code that means "stored plainly", bits of a pixel stored plainly.
  const codeBits = pixelBytes === 4 ? 5 : pixelBytes === 2 ? 4 : 3;
  const plainCode = pixelBytes === 4 ? 25 : pixelBytes === 2 ? 14 : 6;
  const plainBits = pixelBytes * 8;
  const length = bytes.length;
  const count = out.length;
  if (length < pixelBytes || blockSize < 1) throw new TileError('too short for its first pixel');
  let last = 0;
  for (let i = 0; i < pixelBytes; i++) last = (last << 8) | bytes[i]!;
  let at = pixelBytes;
  // `held` keeps the next `bits` bits of the stream in its low end, its upper bits are zero.
  let held = 0;
  let bits = 0;
  let i = 0;
  while (i < count) {
    while (bits < codeBits) {
      held = (held << 8) | bytes[at++]!;
      bits += 8;
    }
    bits -= codeBits;
    const code = (held >>> bits) - 1;
    held &= (1 << bits) - 1;
    const end = i + blockSize < count ? i + blockSize : count;
    if (code < 0) {
      out.fill(last, i, end);
      i = end;
    } else if (code < plainCode) {
      const lowMask = (1 << code) - 1;
      for (; i < end; i++) {
        // Leading zeros up to the next 1 are the high part.
        let zeros = 0;
        while (held === 0) {
          if (at >= length) throw new TileError('ends before its pixels do');
          zeros += bits;
          held = bytes[at++]!;
          bits = 8;
        }
        const lead = Math.clz32(held) - 32 + bits;
        zeros += lead;
        bits -= lead + 1;
        held &= (1 << bits) - 1;
        while (bits < code) {
          // Up to 24 bits at a time fit: code + 7 is below 32.
          held = (held << 8) | bytes[at++]!;
          bits += 8;
        }
        bits -= code;
        const mapped = (zeros << code) | ((held >>> bits) & lowMask);
        held &= (1 << bits) - 1;
        // 0, 1, 2, 3, ... stand for 0, -1, 1, -2, ...
        last = (last + ((mapped >>> 1) ^ -(mapped & 1))) | 0;
        out[i] = last;
      }
    } else if (code === plainCode) {
      for (; i < end; i++) {
        let mapped = held;
        let missing = plainBits - bits;
        while (missing >= 8) {
          mapped = (mapped << 8) | bytes[at++]!;
          missing -= 8;
        }
        held = 0;
        if (missing > 0) {
          const byte = bytes[at++]!;
          mapped = (mapped << missing) | (byte >>> (8 - missing));
          bits = 8 - missing;
          held = byte & ((1 << bits) - 1);
        } else {
          bits = 0;
        }
        last = (last + ((mapped >>> 1) ^ -(mapped & 1))) | 0;
        out[i] = last;
      }
    } else {
      throw new TileError('holds a block code that does not exist');
    }
    if (at > length) throw new TileError('ends before its pixels do');
  }
}
