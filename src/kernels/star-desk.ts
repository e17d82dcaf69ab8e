import type { KernelExports } from './load-kernels.js';

/*
 * The desk in the memory of an instance, byte offsets from its start, for room of n pixels (a multiple of 16):
 *
 *   0              512 doubles  numbers: sums, parameters and matrices in and out
 *   + 4 KiB        n floats     values of a window, row-major
 *   + 4 n          n bytes      1 where the pixel may be used
 *   + n            16 lines of n floats: positions, data and derivatives of a fit, samples, rings
 */
const NUMBERS = 512;
const LINES = 16;
/** Vectors of 16 bytes may be read past the end of a line; and lines that lie a power of two apart would share a place in the processor's cache. */
const MARGIN = 64;
/** Room comes in steps, so that frames of about the same stars share a desk. */
const ROOM_STEP = 4096;

/** Where one star at a time is looked at: views of the kernels' memory, and their addresses. */
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

/** Room of a desk that holds `pixels` at least, and its size in bytes. */
export function deskSize(pixels: number): { readonly room: number; readonly bytes: number } {
  const room = Math.ceil(Math.max(1, pixels) / ROOM_STEP) * ROOM_STEP;
  return { room, bytes: 8 * NUMBERS + 5 * room + 2 * MARGIN + LINES * (4 * room + MARGIN) };
}

/** A desk of that room, from byte `start` of the kernels' memory on. */
export function layOutDesk(kernels: KernelExports, start: number, room: number): StarDesk {
  const { buffer } = kernels.memory;
  const valuesAt = start + 8 * NUMBERS;
  const usableAt = valuesAt + 4 * room + MARGIN;
  const first = usableAt + room + MARGIN;
  const linesAt = Array.from({ length: LINES }, (_, k) => first + k * (4 * room + MARGIN));
  return {
    kernels,
    room,
    numbers: new Float64Array(buffer, start, NUMBERS),
    numbersAt: start,
    values: new Float32Array(buffer, valuesAt, room),
    valuesAt,
    usable: new Uint8Array(buffer, usableAt, room),
    usableAt,
    lines: linesAt.map((at) => new Float32Array(buffer, at, room)),
    linesAt,
  };
}
