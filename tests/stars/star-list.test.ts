import { describe, expect, it } from 'vitest';
import { starListCsv, starListEcsv } from '../../src/stars/star-list.js';
import { tableOf } from '../scenes/star-table.js';

const table = tableOf({ count: 3 });
table.hfd[1] = NaN;

describe('star list', () => {
  it('is CSV with one header line and one line a star', () => {
    const lines = starListCsv(table, { scaleArcsecPerPx: null }).trimEnd().split('\n');
    expect(lines.length).toBe(4);
    const names = lines[0].split(',');
    expect(names.slice(0, 4)).toEqual(['id', 'x', 'y', 'flux']);
    const row = lines[1].split(',');
    expect(row.length).toBe(names.length);
    expect(Number(row[1])).toBeCloseTo(table.x[0], 3);
    expect(lines[2].split(',')[names.indexOf('hfd')]).toBe('nan');
  });

  it('is ECSV with a unit and description for every column', () => {
    const text = starListEcsv(table, { scaleArcsecPerPx: 1.5 });
    expect(text.startsWith('# %ECSV 1.0\n# ---\n# datatype:\n')).toBe(true);
    const columns = text.split('\n').filter((line) => line.startsWith('# - {name:'));
    const names = text
      .split('\n')
      .find((line) => !line.startsWith('#'))!
      .split(' ');
    expect(columns.length).toBe(names.length);
    for (const column of columns)
      expect(column).toMatch(/datatype: (float64|int32|uint16), description: '[^']+'}/);
    expect(columns.find((c) => c.includes('name: fwhm,'))).toContain('unit: pix');
  });

  it('gives arcseconds when the scale is known', () => {
    const [head, first] = starListCsv(table, { scaleArcsecPerPx: 2 }).split('\n');
    const at = head.split(',').indexOf('fwhm_arcsec');
    expect(Number(first.split(',')[at])).toBeCloseTo(2 * table.fwhm[0], 3);
    expect(starListCsv(table, { scaleArcsecPerPx: null })).not.toContain('arcsec');
  });

  it("states the error that all stars share with each star's own", () => {
    const shared = { ...table, fwhmSharedError: 0.03, hfdSharedError: 0.02 };
    const [head, first] = starListCsv(shared, { scaleArcsecPerPx: null }).split('\n');
    const value = (name: string): number => Number(first.split(',')[head.split(',').indexOf(name)]);
    expect(value('fwhm_error')).toBeCloseTo(Math.hypot(table.fwhmError[0], 0.03 * table.fwhm[0]), 4);
    expect(value('hfd_error')).toBeCloseTo(Math.hypot(table.hfdError[0], 0.02 * table.hfd[0]), 4);
  });

  it('counts positions from the first pixel stored', () => {
    const [head, first] = starListCsv(table, { scaleArcsecPerPx: null, origin: { x: 40, y: 2 } }).split('\n');
    const [x, y] = ['x', 'y'].map((name) => Number(first.split(',')[head.split(',').indexOf(name)]));
    expect([x, y]).toEqual([+(table.x[0] + 40).toFixed(3), +(table.y[0] + 2).toFixed(3)]);
  });

  it('is a header alone for no star', () => {
    expect(starListCsv(tableOf({ count: 0 }), { scaleArcsecPerPx: null }).split('\n').length).toBe(2);
  });
});
