import { describe, expect, it } from 'vitest';
import { emptyColumns, sortedTable } from '../../src/stars/star-columns.js';

describe('star columns', () => {
  it('start as unmeasured figures without flags', () => {
    const columns = emptyColumns(3);
    expect(columns.count).toBe(3);
    expect([...columns.hfd]).toEqual([NaN, NaN, NaN]);
    expect([...columns.flags]).toEqual([0, 0, 0]);
  });

  it('are sorted together, brightest first, stars without a flux last', () => {
    const columns = emptyColumns(4);
    columns.flux.set([5, NaN, 9, 7]);
    columns.x.set([1, 2, 3, 4]);
    columns.flags.set([10, 20, 30, 40]);
    columns.fwhmSharedError = 0.003;
    columns.hfdSharedError = 0.004;
    const table = sortedTable(columns);
    expect([...table.x]).toEqual([3, 4, 1, 2]);
    expect([...table.flags]).toEqual([30, 40, 10, 20]);
    expect([table.fwhmSharedError, table.hfdSharedError]).toEqual([0.003, 0.004]);
  });
});
