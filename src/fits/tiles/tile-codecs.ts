import type { Header } from '../header.js';
import { inflateTile, unshuffleBytes } from './gzip-tile.js';
import { decodeHcompress } from './hcompress.js';
import { decodePlio } from './plio.js';
import { decodeRice } from './rice.js';
import { TileError } from './tile-error.js';

/** What a codec needs to know beside the bytes. */
export interface CodecContext {
  readonly pixels: number;
  /** BITPIX of the picture (ZBITPIX). */
  readonly bitpix: number;
  /** True when the tile holds integers that stand for floats. */
  readonly quantised: boolean;
  /** ZNAMEi/ZVALi parameters. */
  readonly parameter: (name: string) => number | null;
  /** Type of the heap's elements. */
  readonly cellType: string;
}

/** Numbers of a tile in storage order: integers, or the picture's own floats where nothing was quantised. */
export type TileNumbers = Uint8Array | Int16Array | Int32Array | BigInt64Array | Float32Array | Float64Array;

/** Big-endian bytes as numbers of the picture's type, or as 32-bit integers when quantised. */
export function rawNumbers(bytes: Uint8Array, context: CodecContext): TileNumbers {
  const { pixels, bitpix, quantised } = context;
  const width = bytes.length / pixels;
  const aligned = Buffer.from(new ArrayBuffer(bytes.length));
  aligned.set(bytes);
  const { buffer } = aligned;
  const float = bitpix < 0 && !quantised;
  if (float && width !== -bitpix / 8) throw new TileError(`holds ${bytes.length} bytes for ${pixels} pixels`);
  switch (width) {
    case 1:
      return new Uint8Array(buffer);
    case 2:
      aligned.swap16();
      return new Int16Array(buffer);
    case 4:
      aligned.swap32();
      return float ? new Float32Array(buffer) : new Int32Array(buffer);
    case 8:
      aligned.swap64();
      return float ? new Float64Array(buffer) : new BigInt64Array(buffer);
    default:
      throw new TileError(`holds ${bytes.length} bytes for ${pixels} pixels`);
  }
}

/** Bytes of a pixel as gzip holds it: 32-bit integers where floats were quantised. */
export function pixelBytesOf(context: CodecContext): number {
  return context.quantised ? 4 : Math.abs(context.bitpix) / 8;
}

function gzip1(bytes: Uint8Array, context: CodecContext): TileNumbers {
  return rawNumbers(inflateTile(bytes, context.pixels, pixelBytesOf(context)), context);
}

function gzip2(bytes: Uint8Array, context: CodecContext): TileNumbers {
  const inflated = inflateTile(bytes, context.pixels, pixelBytesOf(context));
  const width = inflated.length / context.pixels;
  if (!Number.isInteger(width))
    throw new TileError(`holds ${inflated.length} bytes for ${context.pixels} pixels`);
  return rawNumbers(unshuffleBytes(inflated, width), context);
}

/** Bytes of a pixel that RICE_1 was coded with; 4 where the header does not say (table 36 of the standard). */
export function ricePixelBytes(context: CodecContext): number {
  return context.parameter('BYTEPIX') ?? 4;
}

function riceArray(context: CodecContext): Uint8Array | Int16Array | Int32Array {
  const pixelBytes = ricePixelBytes(context);
  if (pixelBytes === 1) return new Uint8Array(context.pixels);
  if (pixelBytes === 2) return new Int16Array(context.pixels);
  if (pixelBytes === 4) return new Int32Array(context.pixels);
  throw new TileError(`is coded with ${pixelBytes} bytes a pixel`);
}

export function riceBlockSize(context: CodecContext): number {
  return context.parameter('BLOCKSIZE') ?? 32;
}

function rice(bytes: Uint8Array, context: CodecContext): TileNumbers {
  const out = riceArray(context);
  decodeRice(bytes, riceBlockSize(context), out);
  return out;
}

function plio(bytes: Uint8Array, context: CodecContext): TileNumbers {
  const out = new Int32Array(context.pixels);
  decodePlio(bytes, out);
  return out;
}

function hcompress(bytes: Uint8Array, context: CodecContext): TileNumbers {
  return new Int32Array(decodeHcompress(bytes, context.pixels, (context.parameter('SMOOTH') ?? 0) !== 0));
}

/** The standard's compression types by ZCMPTYPE (section 10.4), with the name in use before the standard. */
export const tileCodecs: Readonly<Record<string, (bytes: Uint8Array, context: CodecContext) => TileNumbers>> =
  {
    RICE_1: rice,
    RICE_ONE: rice,
    GZIP_1: gzip1,
    GZIP_2: gzip2,
    PLIO_1: plio,
    HCOMPRESS_1: hcompress,
    NOCOMPRESS: rawNumbers,
  };

/** Look up ZNAMEi/ZVALi pairs. */
export function codecParameters(header: Header): (name: string) => number | null {
  const parameters = new Map<string, number>();
  for (let i = 1; i <= 99 && header.has(`ZNAME${i}`); i++) {
    const name = (header.text(`ZNAME${i}`) ?? '').trim().toUpperCase();
    const value = header.number(`ZVAL${i}`);
    if (name !== '' && value !== null && !parameters.has(name)) parameters.set(name, value);
  }
  return (name) => parameters.get(name) ?? null;
}
