import type { BitReader } from './bit-reader.js';
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
export interface Quadrant {
  readonly offset: number;
  readonly stride: number;
  readonly rows: number;
  readonly columns: number;
}

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
      // Bit of a pattern at a place: 8 is (0, 0), 4 is (0, 1), 2 is (1, 0), 1 is (1, 1).
      const rowShift = 3 - 2 * (i & 1);
      const aboveRow = (i >> 1) * patternColumns;
      const row = i * nextColumns;
      for (let j = nextColumns - 1; j >= 0; j--) {
        if ((patterns[aboveRow + (j >> 1)]! >> (rowShift - (j & 1))) & 1) next[row + j] = readPattern(reader);
      }
    }
    patterns = next;
    patternColumns = nextColumns;
  }
  return patterns;
}

function readPlainPatterns(reader: BitReader, rows: number, columns: number): Uint8Array {
  const patterns = new Uint8Array(Math.ceil(rows / 2) * Math.ceil(columns / 2));
  reader.readNibbles(patterns);
  return patterns;
}

/** Set bit `bit` wherever a pattern has its own set; those beyond an odd last row or column are left out. */
function setBitPlane(patterns: Uint8Array, bit: number, magnitudes: Int32Array, quadrant: Quadrant): void {
  const { offset, stride, rows, columns } = quadrant;
  const pairs = columns & ~1;
  let k = 0;
  for (let i = 0; i < rows; i += 2) {
    // On an odd last row both rows are the same one, and the lower patterns are masked.
    const below = i + 1 < rows ? stride : 0;
    const mask = i + 1 < rows ? 15 : 12;
    let at = offset + i * stride;
    for (const end = at + pairs; at < end; at += 2) {
      const pattern = patterns[k++]! & mask;
      if (pattern === 0) continue;
      // In low planes the bits are as good as random: no branch on each.
      magnitudes[at] = magnitudes[at]! | ((pattern >> 3) << bit);
      magnitudes[at + 1] = magnitudes[at + 1]! | (((pattern >> 2) & 1) << bit);
      magnitudes[at + below] = magnitudes[at + below]! | (((pattern >> 1) & 1) << bit);
      magnitudes[at + below + 1] = magnitudes[at + below + 1]! | ((pattern & 1) << bit);
    }
    if (columns & 1) {
      const pattern = patterns[k++]! & mask;
      magnitudes[at] = magnitudes[at]! | ((pattern >> 3) << bit);
      magnitudes[at + below] = magnitudes[at + below]! | (((pattern >> 1) & 1) << bit);
    }
  }
}

/** Bits of a magnitude that its first 32-bit word holds; the others go to the second. */
const WORD_BITS = 30;

/** Magnitudes of up to 60 bits: `low` + 2^30 `high`; `high` is null where no coefficient needs it. */
export interface Magnitudes {
  readonly low: Int32Array;
  readonly high: Int32Array | null;
}

/** Room for so many coefficients of so many bit planes, all 0. */
export function makeMagnitudes(count: number, bitPlanes: number): Magnitudes {
  return { low: new Int32Array(count), high: bitPlanes > WORD_BITS ? new Int32Array(count) : null };
}

/** Magnitudes as doubles, times `scale`. */
export function magnitudeValues({ low, high }: Magnitudes, scale: number): Float64Array {
  const values = new Float64Array(low.length);
  for (let i = 0; i < values.length; i++) {
    values[i] = (high ? high[i]! * 2 ** WORD_BITS + low[i]! : low[i]!) * scale;
  }
  return values;
}

/**
 * Read a quadrant's coefficients bit plane by bit plane, the highest first, each as a quadtree or plainly (White 1992), into `magnitudes`.
 * Throws TileError for a plane of unknown format and for a stream that ends early.
 */
export function readBitPlanes(
  reader: BitReader,
  bitPlanes: number,
  magnitudes: Magnitudes,
  quadrant: Quadrant,
): void {
  const { rows, columns } = quadrant;
  for (let bit = bitPlanes - 1; bit >= 0; bit--) {
    const format = reader.read(4);
    if (format !== 0 && format !== 15) throw new TileError('holds a bit plane of unknown format');
    if (rows === 0 || columns === 0) {
      if (format === 15) readPattern(reader);
      continue;
    }
    const patterns = (format === 15 ? readQuadtree : readPlainPatterns)(reader, rows, columns);
    const { low, high } = magnitudes;
    if (bit < WORD_BITS) setBitPlane(patterns, bit, low, quadrant);
    else if (high) setBitPlane(patterns, bit - WORD_BITS, high, quadrant);
  }
}
