import { FitsFormatError } from '../errors.js';
import type { FitsFile, FitsHdu } from './fits-file.js';
import { scratchBytes } from './pixel-scratch.js';
import type { PixelScratch } from './pixel-scratch.js';
import { readUnsigned } from './read-unsigned.js';
import type { ByteSource } from './source.js';
import { decodeTiles } from './tiles/decode-tiles.js';
import { TileError } from './tiles/tile-error.js';

/** Numbers as stored, before BSCALE and BZERO, in the file's own type. */
export type StoredArray = Uint8Array | Int16Array | Int32Array | BigInt64Array | Float32Array | Float64Array;

/** Stored numbers of a stretch of pixels. */
export interface StoredPixels {
  /** As many numbers as are sound, in the buffer given (8-bit ones in its upper part). */
  readonly stored: StoredArray;
  /** The memory they lie in, with room for 2 bytes a pixel at least. */
  readonly room: Uint8Array;
  /** Why there are fewer pixels than asked for, or null. */
  readonly problem: string | null;
  /** True when 16-bit integers had their top bits flipped on the way, as `flipTopBits` does. */
  readonly isFlipped: boolean;
}

export interface ReadStoredOptions {
  readonly scratch?: PixelScratch | undefined;
  /** Flip the top bits of 16-bit integers while they are read, where that saves time. */
  readonly flip?: boolean;
}

/** View part of some bytes as numbers of a BITPIX. */
export function typedView(room: Uint8Array, fromByte: number, length: number, bitpix: number): StoredArray {
  const buffer = room.buffer as ArrayBuffer;
  const offset = room.byteOffset + fromByte;
  switch (bitpix) {
    case 8:
      return new Uint8Array(buffer, offset, length);
    case 16:
      return new Int16Array(buffer, offset, length);
    case 32:
      return new Int32Array(buffer, offset, length);
    case 64:
      return new BigInt64Array(buffer, offset, length);
    case -32:
      return new Float32Array(buffer, offset, length);
    case -64:
      return new Float64Array(buffer, offset, length);
    default:
      throw new RangeError(`BITPIX ${bitpix}`);
  }
}

/** As `readUnsigned`, for numbers of any width and without a change of sign. */
function readNative(source: ByteSource, into: Uint8Array, at: number, pixelBytes: number): number {
  const got = source.read(into, at);
  const view = Buffer.from(into.buffer, into.byteOffset, got - (got % pixelBytes));
  if (pixelBytes === 2) view.swap16();
  else if (pixelBytes === 4) view.swap32();
  else if (pixelBytes === 8) view.swap64();
  return got;
}

/**
 * Read the stored numbers of `count` pixels from pixel `from` on, of a plain or a tile-compressed image. Fewer come back, with the
 * problem in words, when the file is truncated or a tile damaged. Throws FitsFormatError for an image that can't be read at all.
 */
export function readStoredPixels(
  file: FitsFile,
  hdu: FitsHdu,
  from: number,
  count: number,
  options: ReadStoredOptions = {},
): StoredPixels {
  return hdu.kind === 'compressed-image'
    ? readTiles(file, hdu, from, count, options.scratch)
    : readPlain(file, hdu, from, count, options);
}

/** Bytes read and brought into order at a time: they stay in the processor's cache meanwhile. */
const CHUNK_BYTES = 2 ** 18;

function readPlain(
  file: FitsFile,
  hdu: FitsHdu,
  from: number,
  count: number,
  { scratch, flip = false }: ReadStoredOptions,
): StoredPixels {
  const pixelBytes = Math.abs(hdu.bitpix) / 8;
  const there = Math.max(0, Math.min(count, Math.floor(hdu.availableBytes / pixelBytes) - from));
  const room = scratchBytes(there * Math.max(2, pixelBytes), scratch);
  // 8-bit pixels go to the upper half, from where they widen upwards in place.
  const offset = pixelBytes === 1 ? there : 0;
  const isFlipped = flip && hdu.bitpix === 16;
  const start = hdu.dataOffset + from * pixelBytes;
  const bytes = there * pixelBytes;
  let got = 0;
  while (got < bytes) {
    const wanted = Math.min(CHUNK_BYTES, bytes - got);
    const chunk = room.subarray(offset + got, offset + got + wanted);
    const part = isFlipped
      ? readUnsigned(file.source, chunk, start + got)
      : readNative(file.source, chunk, start + got, pixelBytes);
    got += part;
    if (part < wanted) break;
  }
  const pixels = Math.floor(got / pixelBytes);
  const percent = Math.floor((100 * hdu.availableBytes) / hdu.structure.dataBytes);
  return {
    stored: typedView(room, offset, pixels, hdu.bitpix),
    room,
    isFlipped,
    problem:
      pixels === count
        ? null
        : got < bytes
          ? 'it shrank while it was read'
          : `${hdu.availableBytes} of ${hdu.structure.dataBytes} bytes (${percent} %) of HDU ${hdu.index} are there`,
  };
}

/** Below this a picture may be any number of times larger than its compressed bytes. */
const FREE_BYTES = 16 * 1024 ** 2;
/** Rice shrinks an even 32-bit picture 256 times; more is no exposure. */
const MAX_RATIO = 300;

function readTiles(
  file: FitsFile,
  hdu: FitsHdu,
  from: number,
  count: number,
  scratch: PixelScratch | undefined,
): StoredPixels {
  const pixelBytes = Math.abs(hdu.bitpix) / 8;
  if (![1, 2, 4, 8].includes(pixelBytes)) throw damaged(file, hdu, `has ZBITPIX ${hdu.bitpix}`);
  if (count * pixelBytes > Math.max(FREE_BYTES, hdu.availableBytes * MAX_RATIO)) {
    throw new FitsFormatError(
      `${file.name}: HDU ${hdu.index} claims ${hdu.axes.join(' x ')} pixels from ${hdu.availableBytes} compressed bytes`,
      'If the file is sound, unpack it with funpack first.',
      file.name,
      'too-large',
    );
  }
  const bytes = new Uint8Array(hdu.availableBytes);
  const got = file.source.read(bytes, hdu.dataOffset);
  const room = scratchBytes(count * Math.max(2, pixelBytes), scratch);
  const stored = typedView(room, pixelBytes === 1 ? count : 0, count, hdu.bitpix);
  try {
    const { header, axes, bitpix } = hdu;
    const { pixels, problem } = decodeTiles(
      { header, axes, bitpix, bytes: bytes.subarray(0, got) },
      from,
      stored,
    );
    return { stored: stored.subarray(0, pixels), room, isFlipped: false, problem };
  } catch (error) {
    if (error instanceof TileError) throw damaged(file, hdu, error.message);
    throw error;
  }
}

function damaged(file: FitsFile, hdu: FitsHdu, problem: string): FitsFormatError {
  return new FitsFormatError(
    `${file.name}: the compressed image in HDU ${hdu.index} ${problem}`,
    'Copy the file again, or use the copy that was not compressed.',
    file.name,
  );
}
