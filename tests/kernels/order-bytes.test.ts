import { describe, expect, it } from 'vitest';
import { createPixelMemory, kernelsOf } from '../../src/kernels/index.js';
import { seededRandom } from '../scenes/random.js';

const memory = createPixelMemory();

/** By plain arithmetic. */
function ordered(bytes: Uint8Array): number[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return Array.from({ length: bytes.length >> 1 }, (_, i) => view.getInt16(2 * i) + 32768);
}

describe('16-bit integers brought into order', () => {
  it.each([0, 1, 7, 8, 9, 23, 1000])(
    'are what plain arithmetic says, %i of them, and no byte more',
    (count) => {
      const random = seededRandom(count + 1);
      const { buffer, byteOffset } = memory.room(2 * count + 64);
      for (const shift of [0, 2, 6]) {
        const bytes = new Uint8Array(buffer, byteOffset + shift, 2 * count + 16);
        for (let i = 0; i < bytes.length; i++) bytes[i] = Math.floor(256 * random.uniform());
        const expected = ordered(bytes.slice(0, 2 * count));
        const rest = [...bytes.subarray(2 * count)];
        memory.kernels.orderBytes(bytes.byteOffset, count);
        expect([...new Uint16Array(buffer, bytes.byteOffset, count)]).toEqual(expected);
        expect([...bytes.subarray(2 * count)]).toEqual(rest);
      }
    },
  );

  it('happens where the memory is known to be the kernels’', () => {
    const { buffer } = memory.room(16);
    expect(kernelsOf(buffer)).toBe(memory.kernels);
    expect(kernelsOf(new ArrayBuffer(16))).toBeNull();
  });
});
