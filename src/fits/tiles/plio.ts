import { TileError } from './tile-error.js';

/**
 * Decode a PLIO_1 line list (FITS Standard 4.0, section 10.4.3): 16-bit words, a 4-bit instruction over 12 bits of data each, that
 * raise and lower the current value and draw runs of it or of zeros. Pixels left undrawn are 0. Throws TileError for a list cut short.
 */
export function decodePlio(bytes: Uint8Array, out: Int32Array): void {
  const words = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const available = bytes.length >> 1;
  if (available < 3) throw new TileError('is too short for a line list');
  const word = (i: number): number => words.getInt16(2 * i);
  // Old lists hold their length in word 2; new ones a version there and the length in words 3 and 4 (15 bits each).
  const third = word(2);
  const start = third > 0 ? 3 : word(1);
  const length = third > 0 ? third : word(4) * 32768 + word(3);
  if (length > available || start < 3) throw new TileError('is cut short');
  let value = 1;
  let at = 0;
  for (let i = start; i < length && at < out.length; i++) {
    const instruction = (word(i) >> 12) & 15;
    const amount = word(i) & 4095;
    switch (instruction) {
      case 0: // zeros
        at += amount;
        break;
      case 1: // set the value, high bits in the next word
        i++;
        if (i >= length) throw new TileError('is cut short');
        value = (word(i) << 12) + amount;
        break;
      case 2:
        value += amount;
        break;
      case 3:
        value -= amount;
        break;
      case 4: // run of the value
        out.fill(value, at, Math.min(at + amount, out.length));
        at += amount;
        break;
      case 5: // zeros, then one pixel of the value
        at += amount;
        if (amount > 0 && at <= out.length) out[at - 1] = value;
        break;
      case 6: // change the value and draw one pixel
      case 7:
        value += instruction === 6 ? amount : -amount;
        out[at++] = value;
        break;
      default:
        throw new TileError('holds an instruction that does not exist');
    }
  }
}
