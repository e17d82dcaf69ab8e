import { describe, expect, it } from 'vitest';
import { tileTable } from '../../../src/fits/tiles/tile-table.js';
import { headerOf } from '../header-sketch.js';

const cards = [
  'NAXIS1  = 24', 'NAXIS2  = 2', 'TFIELDS = 3', "TTYPE1  = 'COMPRESSED_DATA'", "TFORM1  = '1PB(9)'", "TTYPE2  = 'ZSCALE'", "TFORM2  = '1D'",
  "TTYPE3  = 'WIDE'", "TFORM3  = '2J'", 'ZZERO   = 7.5',
]; // prettier-ignore
const bytes = new Uint8Array(48 + 10).map((_, i) => i);
const view = new DataView(bytes.buffer);
for (const [row, count, offset] of [
  [0, 4, 2],
  [1, 9, 5],
] as const) {
  view.setUint32(row * 24, count);
  view.setUint32(row * 24 + 4, offset);
  view.setFloat64(row * 24 + 8, 0.5 + row);
}

describe('tileTable', () => {
  it('finds cells in the heap and numbers in columns or header', () => {
    const table = tileTable(headerOf(...cards), bytes);
    expect([...table.cell('COMPRESSED_DATA', 0)]).toEqual([50, 51, 52, 53]);
    expect([table.number('ZSCALE', 0), table.number('ZSCALE', 1)]).toEqual([0.5, 1.5]);
    expect([table.number('ZZERO', 0), table.number('ZBLANK', 0)]).toEqual([7.5, null]);
    expect([table.has('ZSCALE'), table.has('ZZERO'), table.cellType('COMPRESSED_DATA')]).toEqual([
      true,
      false,
      'B',
    ]);
    expect(table.cell('UNCOMPRESSED_DATA', 0)).toHaveLength(0);
  });

  it('follows THEAP', () => {
    expect([...tileTable(headerOf(...cards, 'THEAP   = 50'), bytes).cell('COMPRESSED_DATA', 0)]).toEqual([
      52, 53, 54, 55,
    ]);
    expect(() => tileTable(headerOf(...cards, 'THEAP   = 4'), bytes)).toThrow(/overlaps/);
  });

  it('refuses cells outside the heap and rows outside the file', () => {
    const table = tileTable(headerOf(...cards), bytes);
    expect(() => table.cell('COMPRESSED_DATA', 1)).toThrow(/outside the heap/);
    expect(() => table.cell('COMPRESSED_DATA', 2)).toThrow();
    expect(() => tileTable(headerOf(...cards), bytes.subarray(0, 20)).number('ZSCALE', 1)).toThrow(
      /file ends before/,
    );
  });

  it('refuses columns that are unknown or wider than the row', () => {
    expect(() => tileTable(headerOf(...cards.map((c) => c.replace("'2J'", "'2Y'"))), bytes)).toThrow(
      /unknown TFORM3/,
    );
    expect(() =>
      tileTable(headerOf(...cards.map((c) => c.replace('NAXIS1  = 24', 'NAXIS1  = 12'))), bytes),
    ).toThrow(/wider/);
  });
});
