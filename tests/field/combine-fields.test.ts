import { describe, expect, it } from 'vitest';
import { combineFields, combineTilts } from '../../src/field/combine-fields.js';
import { syntheticNight } from '../report/synthetic-night.js';

const [first, second] = syntheticNight({ frames: 2 }).frames.map((frame) => frame.field);
const combine = (...patterns: Parameters<typeof combineFields>[0]) => combineFields(patterns, 6248, 4176);

describe('combineFields', () => {
  it('gives one pattern back as it is, and refuses none', () => {
    expect(combine(first!)).toBe(first);
    expect(() => combine()).toThrow(RangeError);
  });

  it('gives back what two equal patterns share, with a smaller error', () => {
    const both = combine(first!, first!);
    both.cells.forEach((cell, i) => {
      expect(cell.fwhmPx).toBeCloseTo(first!.cells[i]!.fwhmPx, 10);
      expect(cell.elongation).toBeCloseTo(first!.cells[i]!.elongation, 10);
      expect(cell.fwhmErrorPx).toBeCloseTo(first!.cells[i]!.fwhmErrorPx / Math.SQRT2, 10);
      expect(cell.stars).toBe(2 * first!.cells[i]!.stars);
    });
    expect(both.tilt!.directionDeg).toBeCloseTo(212, 8);
    expect(both.tilt!.fwhmSpanPercent).toBeCloseTo(9.4, 8);
    expect(both.tilt!.fwhmSpanErrorPercent).toBeCloseTo(1.1 / Math.SQRT2, 8);
    expect(both.curvaturePercent).toBeCloseTo(6.2, 8);
    expect(both.curvatureErrorPercent).toBeCloseTo(1.4 / Math.SQRT2, 8);
    expect(both.radialError).toBeCloseTo(0.006 / Math.SQRT2, 8);
  });

  it('lets axes at right angles and opposite slopes cancel', () => {
    const turned = {
      ...second!,
      tilt: { ...first!.tilt!, directionDeg: 32 },
      cells: first!.cells.map((cell) => ({ ...cell, angleDeg: (cell.angleDeg + 90) % 180 })),
    };
    const both = combine(first!, turned);
    for (const cell of both.cells) expect(cell.elongation).toBeCloseTo(1, 6);
    expect(both.tilt!.fwhmSpanPercent).toBeCloseTo(0, 8);
  });

  it('weighs the corners by their errors, and lets frames that disagree widen the common one', () => {
    const sure = { ...first!, curvaturePercent: 2, curvatureErrorPercent: 1 };
    const vague = { ...second!, curvaturePercent: 12, curvatureErrorPercent: 2 };
    const both = combine(sure, vague);
    // Weights 1 and 1/4; chi-square 20 on one degree of freedom.
    expect(both.curvaturePercent).toBeCloseTo(4, 8);
    expect(both.curvatureErrorPercent).toBeCloseTo(Math.sqrt(20 * 0.8), 8);
    const unknown = { ...second!, curvaturePercent: null, curvatureErrorPercent: null };
    expect(combine(sure, unknown).curvaturePercent).toBeCloseTo(2, 8);
  });

  it('takes the seeing of each frame out', () => {
    const soft = { ...first!, cells: first!.cells.map((cell) => ({ ...cell, fwhmPx: 2 * cell.fwhmPx })) };
    const both = combine(first!, soft);
    const ratio = both.cells[0]!.fwhmPx / both.cells[17]!.fwhmPx;
    expect(ratio).toBeCloseTo(first!.cells[0]!.fwhmPx / first!.cells[17]!.fwhmPx, 8);
  });

  it('pools on the coarser grid, and passes over patterns without stars', () => {
    const empty = {
      ...first!,
      columns: 3,
      rows: 3,
      cells: [],
      tilt: null,
      curvaturePercent: null,
      curvatureErrorPercent: null,
      radial: null,
      radialError: null,
    };
    const coarse = { ...first!, columns: 3, rows: 3 };
    expect(combine(first!, empty).columns).toBe(7);
    expect(combine(first!, coarse).cells).toHaveLength(9);
    expect(combine(empty, empty)).toMatchObject({ cells: [], tilt: null, curvaturePercent: null });
  });
});

describe('combineTilts', () => {
  it('averages slopes as vectors by their errors, frames without one left out', () => {
    const of = (directionDeg: number, fwhmSpanErrorPercent: number) => ({
      directionDeg,
      fwhmSpanPercent: 10,
      fwhmSpanErrorPercent,
    });
    const mean = combineTilts([of(0, 1), of(90, 1), null])!;
    expect(mean.directionDeg).toBeCloseTo(45, 9);
    expect(mean.fwhmSpanPercent).toBeCloseTo(10 / Math.SQRT2, 9);
    expect(mean.fwhmSpanErrorPercent).toBeCloseTo(1 / Math.SQRT2, 9);
    expect(combineTilts([of(350, 1), of(10, 1000)])!.directionDeg).toBeCloseTo(350, 3);
    expect(combineTilts([null])).toBeNull();
  });
});
