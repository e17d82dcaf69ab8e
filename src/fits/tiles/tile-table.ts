import type { Header } from '../header.js';
import { TileError } from './tile-error.js';

/** Bytes of one element of each TFORM letter (FITS Standard 4.0, table 18); P and Q are array descriptors. */
const elementBytes: Readonly<Record<string, number>> = {
  L: 1,
  B: 1,
  I: 2,
  J: 4,
  K: 8,
  A: 1,
  E: 4,
  D: 8,
  C: 8,
  M: 16,
  P: 8,
  Q: 16,
};

interface Column {
  readonly letter: string;
  /** Element type of a variable-length column, `''` otherwise. */
  readonly heapLetter: string;
  readonly offset: number;
}

/** The binary table that holds a compressed image: one row a tile, tiles in the heap behind. */
export interface TileTable {
  readonly rows: number;
  has(column: string): boolean;
  /** Bytes of a variable-length column's cell, empty when it holds nothing. Throws TileError when it points outside the heap. */
  cell(column: string, row: number): Uint8Array;
  /** TFORM letter of a variable-length column's elements. */
  cellType(column: string): string;
  /** A numeric column's value, or the header keyword of the same name, or null. */
  number(column: string, row: number): number | null;
}

function readColumns(header: Header): Map<string, Column> {
  const columns = new Map<string, Column>();
  const fields = Math.max(0, Math.min(header.integer('TFIELDS') ?? 0, 999));
  let offset = 0;
  for (let i = 1; i <= fields; i++) {
    const form = /^\s*(\d*)([A-Z])([A-Z]?)/.exec((header.text(`TFORM${i}`) ?? '').toUpperCase());
    if (!form) throw new TileError(`has no readable TFORM${i}`);
    const repeat = form[1] === '' ? 1 : Number(form[1]);
    const letter = form[2]!;
    const bytes = letter === 'X' ? Math.ceil(repeat / 8) : repeat * (elementBytes[letter] ?? NaN);
    if (!Number.isSafeInteger(bytes)) throw new TileError(`has an unknown TFORM${i}`);
    const name = (header.text(`TTYPE${i}`) ?? '').trim().toUpperCase();
    if (repeat > 0 && !columns.has(name)) columns.set(name, { letter, heapLetter: form[3]!, offset });
    offset += bytes;
  }
  return columns;
}

/**
 * Lay the table over the bytes of its data unit (rows, then heap; cut short when the file is). Throws TileError for columns that don't
 * fit the row.
 */
export function tileTable(header: Header, bytes: Uint8Array): TileTable {
  const rowBytes = header.integer('NAXIS1') ?? 0;
  const rows = header.integer('NAXIS2') ?? 0;
  const heapStart = header.integer('THEAP') ?? rowBytes * rows;
  if (heapStart < rowBytes * rows) throw new TileError('has a heap (THEAP) that overlaps its rows');
  const columns = readColumns(header);
  for (const { letter, offset } of columns.values()) {
    if (offset + (elementBytes[letter] ?? 1) > rowBytes)
      throw new TileError('has columns wider than its rows');
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const place = (column: Column, row: number): number => {
    const at = row * rowBytes + column.offset;
    if (at + (elementBytes[column.letter] ?? 1) > bytes.length)
      throw new TileError('is missing: the file ends before it');
    return at;
  };
  return {
    rows,
    has: (name) => columns.has(name),
    cellType: (name) => columns.get(name)?.heapLetter ?? '',
    cell(name, row) {
      const column = columns.get(name);
      if (!column || (column.letter !== 'P' && column.letter !== 'Q')) return new Uint8Array(0);
      const at = place(column, row);
      const wide = column.letter === 'Q';
      const count = wide ? Number(view.getBigInt64(at)) : view.getUint32(at);
      const offset = wide ? Number(view.getBigInt64(at + 8)) : view.getUint32(at + 4);
      const size = count * (elementBytes[column.heapLetter] ?? 1);
      if (count === 0) return new Uint8Array(0);
      const start = heapStart + offset;
      if (count < 0 || offset < 0 || !Number.isSafeInteger(start + size))
        throw new TileError('has an impossible place in the heap');
      if (start + size > bytes.length) throw new TileError('lies outside the heap');
      return bytes.subarray(start, start + size);
    },
    number(name, row) {
      const column = columns.get(name);
      if (!column) return header.number(name);
      const at = place(column, row);
      switch (column.letter) {
        case 'D':
          return view.getFloat64(at);
        case 'E':
          return view.getFloat32(at);
        case 'J':
          return view.getInt32(at);
        case 'I':
          return view.getInt16(at);
        case 'B':
          return view.getUint8(at);
        case 'K':
          return Number(view.getBigInt64(at));
        default:
          return null;
      }
    },
  };
}
