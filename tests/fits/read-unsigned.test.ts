import { describe, expect, it } from 'vitest';
import { readUnsigned } from '../../src/fits/read-unsigned.js';
import { bytesSource } from '../../src/fits/source.js';
import { createPixelMemory } from '../../src/kernels/index.js';

const stored = [-32768, -1, 0, 1, 32767, 12345, -12345, 7, 8, 9, 10];
const bytes = new Uint8Array(2 * stored.length);
stored.forEach((value, i) => new DataView(bytes.buffer).setInt16(2 * i, value));
const source = bytesSource('a.fits', bytes);

describe('unsigned 16-bit integers', () => {
  it.each([
    ['the memory of the kernels', () => createPixelMemory().room(64)],
    ['any other memory', () => ({ buffer: new ArrayBuffer(64), byteOffset: 0 })],
  ])('come in order into %s', (_, room) => {
    const { buffer, byteOffset } = room();
    const into = new Uint8Array(buffer, byteOffset, bytes.length);
    expect(readUnsigned(source, into, 0)).toBe(bytes.length);
    expect([...new Uint16Array(buffer, byteOffset, stored.length)]).toEqual(
      stored.map((value) => value + 32768),
    );
  });

  it('are fewer at the end of the source', () => {
    const into = new Uint8Array(20);
    expect(readUnsigned(source, into, bytes.length - 6)).toBe(6);
    expect([...new Uint16Array(into.buffer, 0, 3)]).toEqual(stored.slice(-3).map((value) => value + 32768));
  });
});
