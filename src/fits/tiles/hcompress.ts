import { BitReader } from './bit-reader.js';
import { magnitudeValues, makeMagnitudes, readBitPlanes } from './bit-planes.js';
import { invertHTransform } from './h-transform.js';
import { TileError } from './tile-error.js';

/**
 * Decode HCOMPRESS_1 (FITS Standard 4.0, section 10.4.4; White 1992) to `count` integers (exact in doubles), rows along the tile's
 * second axis. `smooth` eases the blocks of a lossy picture while the transform is undone. Throws TileError for damaged data.
 */
export function decodeHcompress(bytes: Uint8Array, count: number, smooth: boolean): Float64Array {
  if (bytes.length < 25) throw new TileError('is too short');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  if (view.getUint16(0) !== 0xdd99) throw new TileError('does not start with the mark of HCOMPRESS');
  const rows = view.getInt32(2);
  const columns = view.getInt32(6);
  const scale = view.getInt32(10);
  if (rows < 1 || columns < 1 || rows * columns !== count) {
    throw new TileError(`says ${columns} x ${rows} pixels where ${count} belong`);
  }
  const sum = Number(view.getBigInt64(14));
  const planes = [bytes[22]!, bytes[23]!, bytes[24]!] as const;
  if (Math.max(...planes) > 60) throw new TileError('has more bit planes than an integer');
  const magnitudes = makeMagnitudes(count, Math.max(...planes));
  const reader = new BitReader(bytes, 25);
  const topRows = (rows + 1) >> 1;
  const leftColumns = (columns + 1) >> 1;
  const below = columns * topRows;
  const [sums, slopes, crosses] = planes;
  const read = (bitPlanes: number, offset: number, height: number, width: number): void =>
    readBitPlanes(reader, bitPlanes, magnitudes, { offset, stride: columns, rows: height, columns: width });
  read(sums, 0, topRows, leftColumns);
  read(slopes, leftColumns, topRows, columns >> 1);
  read(slopes, below, rows >> 1, leftColumns);
  read(crosses, below + leftColumns, rows >> 1, columns >> 1);
  if (reader.read(4) !== 0) throw new TileError('has no end mark behind its bit planes');
  reader.alignToByte();
  const step = Math.max(1, scale);
  const values = magnitudeValues(magnitudes, step);
  reader.readSigns(values);
  values[0] = sum * step;
  return invertHTransform(values, rows, columns, smooth ? scale : 0);
}
