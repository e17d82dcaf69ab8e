import { loadKernels, type KernelExports } from './load-kernels.js';

/*
 * Memory of the instance that looks at single stars, byte offsets for room of n pixels (a multiple of 16):
 *
 *   0              static data of the module
 *   START          512 doubles  numbers: sums, parameters and matrices in and out
 *   + 4 KiB        n floats     values of a window, row-major
 *   + 4 n          n bytes      1 where the pixel may be used
 *   + n            16 lines of n floats: positions, data and derivatives of a fit, samples, rings
 */
const START = 64 * 1024;
const NUMBERS = 512;
const LINES = 16;
const PAGE = 64 * 1024;
/** Vectors of 16 bytes may be read past the end of a line. */
const MARGIN = 64;

/** Where one star at a time is looked at: views of the kernels' memory, and their addresses. Valid until the next `starDesk` call. */
export interface StarDesk {
  readonly kernels: KernelExports;
  /** Room for that many pixels. */
  readonly room: number;
  readonly numbers: Float64Array;
  readonly numbersAt: number;
  readonly values: Float32Array;
  readonly valuesAt: number;
  readonly usable: Uint8Array;
  readonly usableAt: number;
  /** Line number k: floats, and its address. */
  readonly lines: readonly Float32Array[];
  readonly linesAt: readonly number[];
}

let kernels: KernelExports | null = null;
let desk: StarDesk | null = null;

/** The thread's desk, with room for `pixels` at least; what lies on it stays unless the room has to grow. */
export function starDesk(pixels: number): StarDesk {
  if (desk !== null && desk.room >= pixels) return desk;
  kernels ??= loadKernels();
  const room = Math.ceil(Math.max(4096, 1.5 * pixels) / 16) * 16;
  const valuesAt = START + 8 * NUMBERS;
  const usableAt = valuesAt + 4 * room + MARGIN;
  const first = usableAt + room + MARGIN;
  const lineBytes = 4 * room + MARGIN;
  const missing = first + LINES * lineBytes - kernels.memory.buffer.byteLength;
  if (missing > 0) kernels.memory.grow(Math.ceil(missing / PAGE));
  const { buffer } = kernels.memory;
  const linesAt = Array.from({ length: LINES }, (_, k) => first + k * lineBytes);
  desk = {
    kernels,
    room,
    numbers: new Float64Array(buffer, START, NUMBERS),
    numbersAt: START,
    values: new Float32Array(buffer, valuesAt, room),
    valuesAt,
    usable: new Uint8Array(buffer, usableAt, room),
    usableAt,
    lines: linesAt.map((at) => new Float32Array(buffer, at, room)),
    linesAt,
  };
  return desk;
}

/** Lay a window of `count` pixels on the desk. */
export function layWindow(values: Float32Array, usable: Uint8Array, count: number): StarDesk {
  const at = starDesk(count);
  at.values.set(count === values.length ? values : values.subarray(0, count));
  at.usable.set(count === usable.length ? usable : usable.subarray(0, count));
  return at;
}
