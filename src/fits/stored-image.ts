import { FitsFormatError } from '../errors.js';
import { pictureAxes } from './choose-image.js';
import type { FitsFile, FitsHdu } from './fits-file.js';

export type StoredArray = Uint8Array | Int16Array | Int32Array | BigInt64Array | Float32Array | Float64Array;

/** Memory to reuse from frame to frame: one per worker; a plane read with it is valid until the next read. */
export interface PixelScratch {
  buffer: ArrayBuffer;
}

export function createScratch(): PixelScratch {
  return { buffer: new ArrayBuffer(0) };
}

/** An ArrayBuffer of at least that many bytes: the scratch's own when it is large enough. */
export function scratchBuffer(bytes: number, scratch: PixelScratch | undefined): ArrayBuffer {
  const needed = Math.ceil(bytes / 8) * 8;
  if (!scratch) return new ArrayBuffer(needed);
  if (scratch.buffer.byteLength < needed) scratch.buffer = new ArrayBuffer(needed);
  return scratch.buffer;
}

/** View big-endian file bytes as native numbers, swapping them in place; `offset` is a multiple of the element size. */
export function nativeView(buffer: ArrayBuffer, offset: number, length: number, bitpix: number): StoredArray {
  const bytes = Buffer.from(buffer, offset, (length * Math.abs(bitpix)) / 8);
  switch (bitpix) {
    case 8:
      return new Uint8Array(buffer, offset, length);
    case 16:
      bytes.swap16();
      return new Int16Array(buffer, offset, length);
    case 32:
      bytes.swap32();
      return new Int32Array(buffer, offset, length);
    case 64:
      bytes.swap64();
      return new BigInt64Array(buffer, offset, length);
    case -32:
      bytes.swap32();
      return new Float32Array(buffer, offset, length);
    case -64:
      bytes.swap64();
      return new Float64Array(buffer, offset, length);
    default:
      throw new RangeError(`BITPIX ${bitpix}`);
  }
}

/** The part of the picture to read. */
export interface PlaneExtent {
  readonly width: number;
  /** Rows that can be read: fewer than the picture's when salvaging a truncated file. */
  readonly height: number;
  readonly fullHeight: number;
  /** Index of the plane of a colour cube, 0 for a picture. */
  readonly plane: number;
}

/**
 * Which rows of which plane can be read. A truncated plane throws FitsFormatError saying how much is there, unless
 * `salvage` asks for the rows that exist (at least one).
 */
export function planeExtent(file: FitsFile, hdu: FitsHdu, salvage: boolean): PlaneExtent {
  const axes = pictureAxes(hdu);
  const width = axes[0]!;
  const fullHeight = axes[1]!;
  // Of a colour cube the middle plane: green carries most of the light and is what a mosaic is measured on.
  const plane = axes.length === 3 ? 1 : 0;
  const rowBytes = (width * Math.abs(hdu.bitpix)) / 8;
  const rows = Math.floor(hdu.availableBytes / rowBytes) - plane * fullHeight;
  if (rows >= fullHeight) return { width, height: fullHeight, fullHeight, plane };
  const percent = Math.floor((100 * hdu.availableBytes) / hdu.structure.dataBytes);
  const there = `${hdu.availableBytes} of ${hdu.structure.dataBytes} bytes (${percent} %) of HDU ${hdu.index} are there`;
  if (salvage && rows > 0) return { width, height: rows, fullHeight, plane };
  throw new FitsFormatError(
    `${file.name}: is truncated: ${there}, ${Math.max(0, rows)} of ${fullHeight} rows`,
    rows > 0
      ? 'Copy the file again (a file still being written is complete a little later), or use --salvage to measure the rows that exist.'
      : 'Copy the file again; if it is the same at its source, the exposure is lost.',
    file.name,
  );
}

/** Read bytes of a data unit, all or an error. */
export function readExactly(file: FitsFile, target: Uint8Array, position: number): void {
  const got = file.source.read(target, position);
  if (got === target.length) return;
  throw new FitsFormatError(
    `${file.name}: shrank while it was read: ${got} of ${target.length} bytes at byte ${position}`,
    'Another program is writing the file: try again when it is done.',
    file.name,
  );
}
