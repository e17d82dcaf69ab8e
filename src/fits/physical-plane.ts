import { flipTopBits } from './flip-top-bits.js';
import type { Scaling } from './scaling.js';
import type { StoredArray } from './stored-image.js';

/** Numbers of one plane with their scaling: what is kept of `PixelPlane` before the header's meaning is added. */
export interface PhysicalPlane {
  readonly data: Uint16Array | Float32Array;
  readonly scale: number;
  readonly zero: number;
  readonly blankCount: number;
}

/**
 * Turn stored numbers into a plane, in the memory they lie in where the width allows.
 * 16-bit integers become unsigned by flipping their top bit (their order stays), 8-bit ones widen to `room`;
 * with BLANK pixels, and for all other types, the result is 32-bit floats of physical values, NaN for no value.
 * `room` is where bytes widen to: 2 bytes a pixel; they may lie in its upper half. `isFlipped`: the top bits were flipped while reading.
 */
export function physicalPlane(
  stored: StoredArray,
  scaling: Scaling,
  room: Uint8Array,
  isFlipped = false,
): PhysicalPlane {
  const { bscale, bzero, blank } = scaling;
  if (stored instanceof Int16Array && (isFlipped || !stored.includes(Number(blank ?? NaN)))) {
    if (!isFlipped) flipTopBits(stored);
    const data = new Uint16Array(stored.buffer as ArrayBuffer, stored.byteOffset, stored.length);
    return { data, scale: bscale, zero: bzero - 32768 * bscale, blankCount: 0 };
  }
  if (stored instanceof Uint8Array && !stored.includes(Number(blank ?? NaN))) {
    const data = new Uint16Array(room.buffer, room.byteOffset, stored.length);
    for (let i = 0; i < data.length; i++) data[i] = stored[i]!;
    return { data, scale: bscale, zero: bzero, blankCount: 0 };
  }
  const data = stored instanceof Float32Array ? stored : floatRoom(stored);
  const blankCount =
    stored instanceof BigInt64Array
      ? fromBigIntegers(stored, data, scaling)
      : stored instanceof Float32Array || stored instanceof Float64Array
        ? fromFloats(stored, data, scaling)
        : fromIntegers(stored, data, scaling);
  return { data, scale: 1, zero: 0, blankCount };
}

/** Numbers of 32 bits and more are replaced where they lie (the loops below run upwards, so wider ones are read first). */
function floatRoom(stored: StoredArray): Float32Array {
  return stored.BYTES_PER_ELEMENT >= 4
    ? new Float32Array(stored.buffer as ArrayBuffer, stored.byteOffset, stored.length)
    : new Float32Array(stored.length);
}

function fromFloats(
  stored: Float32Array | Float64Array,
  data: Float32Array,
  { bscale, bzero }: Scaling,
): number {
  let blanks = 0;
  const plain = bscale === 1 && bzero === 0;
  for (let i = 0; i < data.length; i++) {
    const value = plain ? stored[i]! : stored[i]! * bscale + bzero;
    // value - value is 0 for finite numbers only.
    if (value - value === 0) {
      data[i] = value;
    } else {
      data[i] = NaN;
      blanks++;
    }
  }
  return blanks;
}

function fromIntegers(
  stored: Uint8Array | Int16Array | Int32Array,
  data: Float32Array,
  scaling: Scaling,
): number {
  const { bscale, bzero } = scaling;
  const blank = scaling.blank === null ? NaN : Number(scaling.blank);
  let blanks = 0;
  for (let i = 0; i < data.length; i++) {
    const value = stored[i]!;
    if (value === blank) {
      data[i] = NaN;
      blanks++;
    } else {
      data[i] = value * bscale + bzero;
    }
  }
  return blanks;
}

function fromBigIntegers(stored: BigInt64Array, data: Float32Array, scaling: Scaling): number {
  const { bscale, bzero } = scaling;
  const blank = scaling.blank === null ? null : BigInt(scaling.blank);
  let blanks = 0;
  for (let i = 0; i < data.length; i++) {
    const value = stored[i]!;
    if (value === blank) {
      data[i] = NaN;
      blanks++;
    } else {
      data[i] = Number(value) * bscale + bzero;
    }
  }
  return blanks;
}
