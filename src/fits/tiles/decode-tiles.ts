import type { Header } from '../header.js';
import type { StoredArray } from '../stored-image.js';
import { unquantise } from './dither.js';
import type { Quantisation } from './dither.js';
import { inflateTile } from './gzip-tile.js';
import { decodeRice } from './rice.js';
import type { RiceOutput } from './rice.js';
import {
  codecParameters,
  pixelBytesOf,
  rawNumbers,
  riceBlockSize,
  ricePixelBytes,
  tileCodecs,
} from './tile-codecs.js';
import type { CodecContext, TileNumbers } from './tile-codecs.js';
import { TileError } from './tile-error.js';
import { forEachRun, tileLayout } from './tile-layout.js';
import type { Tile } from './tile-layout.js';
import { tileTable } from './tile-table.js';
import type { TileTable } from './tile-table.js';

/** A tile-compressed picture: its header, its axes and type, and the bytes of its table and heap. */
export interface CompressedPicture {
  readonly header: Header;
  readonly axes: readonly number[];
  readonly bitpix: number;
  readonly bytes: Uint8Array;
}

/** Below this a tile may claim any number of pixels. */
const FREE_PIXELS = 2 ** 20;
/** Deflate shrinks at most 1032 times, and an even tile of any codec but H-compress less. */
const MAX_PIXELS_PER_BYTE = 1032;

/** Outcome of decoding: `problem` says why it stopped early, `pixels` how many from the start on are sound. */
export interface DecodedTiles {
  readonly pixels: number;
  readonly problem: string | null;
}

const quantisations: Readonly<Record<string, Quantisation>> = {
  NONE: 'none',
  NO_DITHER: 'plain',
  SUBTRACTIVE_DITHER_1: 'dither-1',
  SUBTRACTIVE_DITHER_2: 'dither-2',
};

/**
 * Decode the pixels [from, from + out.length) of a tile-compressed picture in storage order (FITS Standard 4.0, section 10).
 * `out` has the picture's type; integers arrive as stored, floats with their quantisation undone. A tile that can't be decoded ends the
 * work; what is wrong with the table itself throws TileError.
 */
export function decodeTiles(picture: CompressedPicture, from: number, out: StoredArray): DecodedTiles {
  const { header, axes, bitpix } = picture;
  const layout = tileLayout(header, axes);
  const table = tileTable(header, picture.bytes);
  if (table.rows < layout.count) throw new TileError(`has ${table.rows} rows for ${layout.count} tiles`);
  const type = (header.text('ZCMPTYPE') ?? '').trim().toUpperCase();
  const codec = tileCodecs[type];
  if (!codec)
    throw new TileError(
      `is compressed with ${type === '' ? 'an unnamed method' : type}, which no standard names`,
    );
  const named = quantisations[(header.text('ZQUANTIZ') ?? 'NO_DITHER').trim().toUpperCase()] ?? 'plain';
  const seed = header.integer('ZDITHER0') ?? 1;
  const parameter = codecParameters(header);
  const rice = type.startsWith('RICE');
  // PLIO holds no negative numbers: unsigned 16-bit pictures are kept without their offset.
  const shift = type === 'PLIO_1' && bitpix === 16 && header.number('BZERO') === 32768 ? -32768 : 0;
  for (let index = 0; index < layout.count; index++) {
    const tile = layout.tile(index);
    if (!overlaps(tile, axes, from, out.length)) continue;
    try {
      const context = contextOf(table, index, tile, bitpix, named, parameter);
      const packed = table.cell('COMPRESSED_DATA', index);
      if (tile.pixels > Math.max(FREE_PIXELS, packed.length * MAX_PIXELS_PER_BYTE)) {
        throw new TileError(`claims ${tile.pixels} pixels from ${packed.length} bytes`);
      }
      const run =
        packed.length > 0 && rice && !context.quantised ? wholeRun(tile, axes, from, out, context) : null;
      if (run) {
        decodeRice(packed, riceBlockSize(context), run);
        continue;
      }
      const { numbers, quantised } =
        packed.length > 0
          ? { numbers: codec(packed, context), quantised: context.quantised }
          : { numbers: plainTile(table, index, context), quantised: false };
      const values = quantised ? floatTile(numbers, table, index, bitpix, named, seed) : numbers;
      place(values, tile, axes, from, out, shift);
    } catch (error) {
      if (!(error instanceof TileError)) throw error;
      return {
        pixels: soundPixels(tile, axes, from),
        problem: `tile ${index + 1} of ${layout.count} ${error.message}`,
      };
    }
  }
  return { pixels: out.length, problem: null };
}

function contextOf(
  table: TileTable,
  index: number,
  tile: Tile,
  bitpix: number,
  named: Quantisation,
  parameter: CodecContext['parameter'],
): CodecContext {
  const scaled = bitpix < 0 && named !== 'none' && (table.number('ZSCALE', index) ?? 0) !== 0;
  return {
    pixels: tile.pixels,
    bitpix,
    quantised: scaled,
    parameter,
    cellType: table.cellType('COMPRESSED_DATA'),
  };
}

/** A tile that was not worth compressing: gzipped floats, or plain numbers. */
function plainTile(table: TileTable, index: number, context: CodecContext): TileNumbers {
  const plain = { ...context, quantised: false };
  const gzipped = table.cell('GZIP_COMPRESSED_DATA', index);
  if (gzipped.length > 0) return rawNumbers(inflateTile(gzipped, context.pixels, pixelBytesOf(plain)), plain);
  const bytes = table.cell('UNCOMPRESSED_DATA', index);
  if (bytes.length > 0) return rawNumbers(bytes, plain);
  throw new TileError('holds no data');
}

function floatTile(
  numbers: TileNumbers,
  table: TileTable,
  index: number,
  bitpix: number,
  named: Quantisation,
  seed: number,
): TileNumbers {
  if (numbers instanceof BigInt64Array) throw new TileError('holds 64-bit integers where 32 bits belong');
  const values = bitpix === -32 ? new Float32Array(numbers.length) : new Float64Array(numbers.length);
  const tileScaling = {
    scale: table.number('ZSCALE', index) ?? 1,
    zero: table.number('ZZERO', index) ?? 0,
    blank: table.number('ZBLANK', index),
  };
  unquantise(numbers, values, tileScaling, named, index + 1, seed);
  return values;
}

function overlaps(tile: Tile, axes: readonly number[], from: number, length: number): boolean {
  const first = soundPixels(tile, axes, 0);
  const last = tile.origin.reduce(
    (sum, origin, i) => sum + (origin + tile.size[i]! - 1) * axes.slice(0, i).reduce((p, n) => p * n, 1),
    0,
  );
  return last >= from && first < from + length;
}

/** Pixels from `from` on that lie wholly before a tile's first row: those before it are decoded. */
function soundPixels(tile: Tile, axes: readonly number[], from: number): number {
  let stride = 1;
  let start = 0;
  tile.origin.forEach((origin, i) => {
    if (i > 0) start += origin * stride;
    stride *= axes[i]!;
  });
  return Math.max(0, start - from);
}

/** The part of `out` that a tile of whole rows fills, when Rice can decode straight into it. */
function wholeRun(
  tile: Tile,
  axes: readonly number[],
  from: number,
  out: StoredArray,
  context: CodecContext,
): RiceOutput | null {
  if (tile.size[0] !== axes[0] || tile.size.slice(2).some((size) => size > 1)) return null;
  const start = soundPixels(tile, axes, 0) - from;
  if (start < 0 || start + tile.pixels > out.length) return null;
  if (out instanceof Uint8Array || out instanceof Int16Array || out instanceof Int32Array) {
    if (ricePixelBytes(context) === out.BYTES_PER_ELEMENT) return out.subarray(start, start + tile.pixels);
  }
  return null;
}

function place(
  values: TileNumbers,
  tile: Tile,
  axes: readonly number[],
  from: number,
  out: StoredArray,
  shift: number,
): void {
  if (values.length < tile.pixels) throw new TileError(`holds ${values.length} of ${tile.pixels} pixels`);
  const big = out instanceof BigInt64Array;
  forEachRun(tile, axes, (tileStart, pictureStart, length) => {
    const start = pictureStart - from;
    if (start < 0 || start + length > out.length) return;
    if (big || values instanceof BigInt64Array) {
      for (let i = 0; i < length; i++) {
        const value = values[tileStart + i]!;
        if (big) out[start + i] = BigInt(value);
        else out[start + i] = Number(value);
      }
    } else if (shift === 0) {
      out.set(values.subarray(tileStart, tileStart + length), start);
    } else {
      for (let i = 0; i < length; i++) out[start + i] = values[tileStart + i]! + shift;
    }
  });
}
