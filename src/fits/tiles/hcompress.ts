import { BitReader } from './bit-reader.js';
import { invertHTransform } from './h-transform.js';
import { TileError } from './tile-error.js';

/** Codes of the quadtree's 4-bit patterns, as [bits, length], pattern 0 to 15 (White 1992, fixed Huffman table). */
const huffmanCodes = [
  [0x3e, 6],
  [0x00, 3],
  [0x01, 3],
  [0x08, 4],
  [0x02, 3],
  [0x09, 4],
  [0x1a, 5],
  [0x1b, 5],
  [0x03, 3],
  [0x1c, 5],
  [0x0a, 4],
  [0x1d, 5],
  [0x0b, 4],
  [0x1e, 5],
  [0x3f, 6],
  [0x0c, 4],
] as const;

/** For each 6-bit look ahead: pattern in the low 4 bits, code length above. */
const huffmanTable = ((): Uint8Array => {
  const table = new Uint8Array(64);
  huffmanCodes.forEach(([bits, length], pattern) => {
    const first = bits << (6 - length);
    table.fill((length << 4) | pattern, first, first + (1 << (6 - length)));
  });
  return table;
})();

function readPattern(reader: BitReader): number {
  const entry = huffmanTable[reader.peek(6)]!;
  reader.skip(entry >> 4);
  return entry & 15;
}

/** A quadrant of the coefficients: `rows` x `columns` from `offset` on in an array with `stride` columns. */
interface Quadrant {
  readonly offset: number;
  readonly stride: number;
  readonly rows: number;
  readonly columns: number;
}

/** Bit of a 2 x 2 pattern at a place: 8 is (0, 0), 4 is (0, 1), 2 is (1, 0), 1 is (1, 1). */
const patternShift = (i: number, j: number): number => 3 - 2 * (i & 1) - (j & 1);

/** Read the patterns of one bit plane, quadtree-coded: at each level a set bit is followed by the pattern beneath it, from the last to the first. */
function readQuadtree(reader: BitReader, rows: number, columns: number): Uint8Array {
  const levels = Math.ceil(Math.log2(Math.max(rows, columns)));
  let patterns = new Uint8Array([readPattern(reader)]);
  let patternColumns = 1;
  for (let level = 1; level < levels; level++) {
    const cell = 2 ** (levels - level);
    const nextRows = Math.ceil(rows / cell);
    const nextColumns = Math.ceil(columns / cell);
    const next = new Uint8Array(nextRows * nextColumns);
    for (let i = nextRows - 1; i >= 0; i--) {
      for (let j = nextColumns - 1; j >= 0; j--) {
        const above = patterns[(i >> 1) * patternColumns + (j >> 1)]!;
        if ((above >> patternShift(i, j)) & 1) next[i * nextColumns + j] = readPattern(reader);
      }
    }
    patterns = next;
    patternColumns = nextColumns;
  }
  return patterns;
}

function readPlainPatterns(reader: BitReader, rows: number, columns: number): Uint8Array {
  const patterns = new Uint8Array(Math.ceil(rows / 2) * Math.ceil(columns / 2));
  for (let i = 0; i < patterns.length; i++) patterns[i] = reader.read(4);
  return patterns;
}

function addBitPlane(patterns: Uint8Array, weight: number, values: Float64Array, quadrant: Quadrant): void {
  const { offset, stride, rows, columns } = quadrant;
  const patternColumns = Math.ceil(columns / 2);
  for (let i = 0; i < rows; i++) {
    const patternRow = (i >> 1) * patternColumns;
    for (let j = 0, to = offset + i * stride; j < columns; j++, to++) {
      if ((patterns[patternRow + (j >> 1)]! >> patternShift(i, j)) & 1) values[to] = values[to]! + weight;
    }
  }
}

function readQuadrant(reader: BitReader, bitPlanes: number, values: Float64Array, quadrant: Quadrant): void {
  const { rows, columns } = quadrant;
  for (let bit = bitPlanes - 1; bit >= 0; bit--) {
    const format = reader.read(4);
    if (format !== 0 && format !== 15) throw new TileError('holds a bit plane of unknown format');
    if (rows === 0 || columns === 0) {
      if (format === 15) readPattern(reader);
      continue;
    }
    const patterns = (format === 15 ? readQuadtree : readPlainPatterns)(reader, rows, columns);
    addBitPlane(patterns, 2 ** bit, values, quadrant);
  }
}

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
  const values = new Float64Array(count);
  const reader = new BitReader(bytes, 25);
  const topRows = (rows + 1) >> 1;
  const leftColumns = (columns + 1) >> 1;
  const stride = columns;
  readQuadrant(reader, planes[0], values, { offset: 0, stride, rows: topRows, columns: leftColumns });
  readQuadrant(reader, planes[1], values, {
    offset: leftColumns,
    stride,
    rows: topRows,
    columns: columns >> 1,
  });
  readQuadrant(reader, planes[1], values, {
    offset: columns * topRows,
    stride,
    rows: rows >> 1,
    columns: leftColumns,
  });
  readQuadrant(reader, planes[2], values, {
    offset: columns * topRows + leftColumns,
    stride,
    rows: rows >> 1,
    columns: columns >> 1,
  });
  if (reader.read(4) !== 0) throw new TileError('has no end mark behind its bit planes');
  reader.alignToByte();
  for (let i = 0; i < count; i++) {
    if (values[i] !== 0 && reader.read(1) === 1) values[i] = -values[i]!;
  }
  values[0] = sum;
  if (scale > 1) for (let i = 0; i < count; i++) values[i] = values[i]! * scale;
  invertHTransform(values, rows, columns, smooth ? scale : 0);
  return values;
}
