import { describe, expect, it } from 'vitest';
import { physicalPlane } from '../../src/fits/physical-plane.js';
import type { PhysicalPlane } from '../../src/fits/physical-plane.js';
import type { StoredArray } from '../../src/fits/stored-image.js';

const scaling = { bscale: 1, bzero: 0, blank: null };
const values = (plane: PhysicalPlane): number[] => [...plane.data].map((v) => v * plane.scale + plane.zero);
const room = (): Uint8Array => new Uint8Array(64);

describe('physicalPlane', () => {
  it('keeps 16-bit integers, signed or unsigned, in order', () => {
    const plane = physicalPlane(Int16Array.of(-32768, -1, 0, 1, 32767), scaling, room());
    expect(plane.data).toBeInstanceOf(Uint16Array);
    expect(values(plane)).toEqual([-32768, -1, 0, 1, 32767]);
    const unsigned = physicalPlane(Int16Array.of(-32768, 32767), { ...scaling, bzero: 32768 }, room());
    expect([unsigned.zero, ...unsigned.data]).toEqual([0, 0, 65535]);
  });

  it('works on a view at an odd place', () => {
    const view = new Int16Array(Int16Array.of(9, 1, 2, 3).buffer, 2, 3);
    expect(values(physicalPlane(view, scaling, room()))).toEqual([1, 2, 3]);
  });

  it('widens bytes in place', () => {
    const bytes = new Uint8Array(8);
    const upper = bytes.subarray(4);
    upper.set([1, 2, 250, 255]);
    const plane = physicalPlane(upper, { ...scaling, bscale: 2, bzero: -128 }, bytes);
    expect(plane.data.buffer).toBe(bytes.buffer);
    expect(values(plane)).toEqual([-126, -124, 372, 382]);
  });

  it.each<[string, StoredArray, number | bigint]>([
    ['8-bit', Uint8Array.of(1, 255, 3), 255],
    ['16-bit', Int16Array.of(1, -32768, 3), -32768],
    ['32-bit', Int32Array.of(1, -2147483648, 3), -2147483648],
    ['64-bit', BigInt64Array.of(1n, -(2n ** 63n), 3n), -(2n ** 63n)],
  ])('masks and counts BLANK in %s integers', (_, stored, blank) => {
    const plane = physicalPlane(
      stored,
      { bscale: 0.5, bzero: 10, blank },
      new Uint8Array(stored.byteLength * 2),
    );
    expect(plane.data).toBeInstanceOf(Float32Array);
    expect([...plane.data]).toEqual([10.5, NaN, 11.5]);
    expect(plane.blankCount).toBe(1);
  });

  it('makes infinities and NaN of floats blank, and narrows doubles', () => {
    const plane = physicalPlane(Float64Array.of(1.5, NaN, Infinity, -2), { ...scaling, bscale: 2 }, room());
    expect([...plane.data]).toEqual([3, NaN, NaN, -4]);
    expect([plane.blankCount, plane.scale, plane.zero]).toEqual([2, 1, 0]);
    expect(physicalPlane(Float32Array.of(-Infinity, 7), scaling, room()).blankCount).toBe(1);
  });

  it('does not take a BLANK that no pixel has for a reason to widen', () => {
    expect(physicalPlane(Int16Array.of(1, 2), { ...scaling, blank: -32768 }, room()).data).toBeInstanceOf(
      Uint16Array,
    );
  });
});
