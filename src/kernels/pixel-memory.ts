import { loadKernels, type KernelExports } from './load-kernels.js';
import { deskSize, layOutDesk, type StarDesk } from './star-desk.js';

/*
 * Memory of one instance, byte offsets:
 *
 *   0     .. WORK     static data of the module
 *   WORK  .. DESK     work area: each step of the measurement lays out its lines, bands and lists here and owes nothing to the next one
 *   DESK  .. PIXELS   desk where one star at a time is looked at (star-desk.ts)
 *   PIXELS ..         the pixels of one frame, as `PixelPlane.data` holds them
 *
 * Pages that are never touched take no memory. Growing the memory makes earlier views of it empty, so it grows only where a frame comes in.
 */
const WORK = 64 * 1024;
const DESK = 32 * 1024 * 1024;
const PIXELS = 256 * 1024 * 1024;
const PAGE = 64 * 1024;
/** Vectors may be read past the last pixel. */
const MARGIN = 64;

/** One instance of the kernels, and the room in its memory: for one frame at a time. */
export interface PixelMemory {
  readonly kernels: KernelExports;
  /** Room for that many bytes of pixels; the frame that was there is gone. */
  readonly room: (bytes: number) => { readonly buffer: ArrayBuffer; readonly byteOffset: number };
  /** The desk, with room for that many pixels at least: the same one, and what lies on it, as long as it is large enough and no larger frame comes in. */
  readonly desk: (pixels: number) => StarDesk;
}

/** Numbers in the work area: where the kernels find them, and a view of them. */
export interface Placed<View> {
  readonly address: number;
  readonly view: View;
}

/** Hands out the work area from its start: one at a time. */
export interface WorkArea {
  readonly bytes: (count: number) => Placed<Uint8Array>;
  readonly integers: (count: number) => Placed<Int32Array>;
  readonly floats: (count: number) => Placed<Float32Array>;
  readonly doubles: (count: number) => Placed<Float64Array>;
}

/** Pixels where the kernels can reach them. */
export interface ResidentPixels {
  readonly kernels: KernelExports;
  readonly address: number;
  /** 1 for 32-bit floats, 0 for unsigned 16-bit integers: as the kernels want it. */
  readonly isFloat: 0 | 1;
  /** The whole work area anew: what a step before laid out there is gone. */
  readonly workArea: () => WorkArea;
  readonly desk: PixelMemory['desk'];
}

/** Which instance a buffer belongs to. */
const owners = new WeakMap<ArrayBufferLike, PixelMemory>();

/** A new instance with memory of its own. */
export function createPixelMemory(): PixelMemory {
  const kernels = loadKernels();
  let desk: StarDesk | null = null;
  const reach = (end: number): ArrayBuffer => {
    const missing = end - kernels.memory.buffer.byteLength;
    if (missing > 0) kernels.memory.grow(Math.ceil(missing / PAGE));
    return kernels.memory.buffer;
  };
  const memory: PixelMemory = {
    kernels,
    room: (bytes) => {
      const buffer = reach(PIXELS + bytes + MARGIN);
      owners.set(buffer, memory);
      return { buffer, byteOffset: PIXELS };
    },
    desk: (pixels) => {
      if (desk !== null && desk.room >= pixels && desk.values.buffer === kernels.memory.buffer) return desk;
      const { room, bytes } = deskSize(pixels);
      if (DESK + bytes > PIXELS) throw new RangeError(`stars too wide: a window of ${pixels} pixels`);
      reach(PIXELS);
      desk = layOutDesk(kernels, DESK, room);
      return desk;
    },
  };
  return memory;
}

/** The kernels in whose memory a buffer lies, or null. */
export function kernelsOf(buffer: ArrayBufferLike): KernelExports | null {
  return owners.get(buffer)?.kernels ?? null;
}

/** For pixels that lie elsewhere: planes made in memory, integers that had to become floats. */
let guests: PixelMemory | null = null;

/** The pixels as the kernels see them: where they are when that is an instance's memory, else a copy, good until the next such call. */
export function residentPixels(data: Uint16Array | Float32Array): ResidentPixels {
  const isFloat = data instanceof Float32Array ? 1 : 0;
  const owner = owners.get(data.buffer);
  if (owner !== undefined) return resident(owner, data.byteOffset, isFloat);
  guests ??= createPixelMemory();
  const { buffer, byteOffset } = guests.room(data.byteLength);
  new Uint8Array(buffer, byteOffset, data.byteLength).set(
    new Uint8Array(data.buffer, data.byteOffset, data.byteLength),
  );
  return resident(guests, byteOffset, isFloat);
}

function resident({ kernels, desk }: PixelMemory, address: number, isFloat: 0 | 1): ResidentPixels {
  return { kernels, address, isFloat, workArea: () => layOut(kernels.memory.buffer), desk };
}

function layOut(buffer: ArrayBuffer): WorkArea {
  let free = WORK;
  const take = (bytes: number): number => {
    const address = free;
    // Vectors of 16 bytes may be written past the end.
    free += Math.ceil(bytes / 16) * 16 + 16;
    if (free > DESK) throw new RangeError(`a frame too wide: its lines need ${free} bytes of work area`);
    return address;
  };
  const placed = <View>(count: number, size: number, view: (address: number) => View): Placed<View> => {
    const address = take(count * size);
    return { address, view: view(address) };
  };
  return {
    bytes: (count) => placed(count, 1, (address) => new Uint8Array(buffer, address, count)),
    integers: (count) => placed(count, 4, (address) => new Int32Array(buffer, address, count)),
    floats: (count) => placed(count, 4, (address) => new Float32Array(buffer, address, count)),
    doubles: (count) => placed(count, 8, (address) => new Float64Array(buffer, address, count)),
  };
}
