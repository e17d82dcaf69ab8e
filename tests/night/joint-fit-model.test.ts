import { describe, expect, it } from 'vitest';
import {
  fieldMeans,
  frameOptics,
  namedOwn,
  namedShared,
  ownNumbers,
  predictCell,
  predictCellValues,
  predictSkew,
  predictWidthRatio,
  SHARED,
  sharedNumbers,
} from '../../src/night/joint-fit-model.js';
import { exactFrames } from './exact-frames.js';

const shared = {
  tx: 1.1,
  ty: -0.6,
  gx: 0.3,
  gy: 0.2,
  km: 0.8,
  ka: -0.5,
  rot: 0.4,
  rotU: 0.1,
  rotV: -0.05,
  comaG: 0.7,
  comaX: 0.2,
  comaY: -0.3,
};
const own = { seeing: 1.3, focus: 0.9, plus: 0.1, cross: -0.07 };
const [frame] = exactFrames(shared, [own], () => ({ side: -1, exposure: 0.8 }));
const cell = frame.cells[3];

describe('predictCell', () => {
  it('agrees with the values alone, and gives their derivatives', () => {
    const columns = SHARED.map((_, k) => k);
    const width = columns.length + 4;
    const values = new Float64Array(3);
    const rows = new Float64Array(3 * width);
    predictCell(frameOptics(shared, own, frame), cell, columns, values, rows);
    const at = (s: typeof shared, o: typeof own): Float64Array => {
      const into = new Float64Array(3);
      predictCellValues(frameOptics(s, o, frame), cell, into);
      return into;
    };
    expect([...values]).toEqual([...at(shared, own)]);
    const step = 1e-5;
    const compare = (column: number, up: Float64Array, down: Float64Array, tolerance: number): void => {
      for (let part = 0; part < 3; part++) {
        const slope = (up[part] - down[part]) / (2 * step);
        expect(Math.abs(rows[part * width + column] - slope)).toBeLessThan(tolerance);
      }
    };
    SHARED.forEach((name, k) => {
      const up = at({ ...shared, [name]: shared[name] + step }, own);
      const down = at({ ...shared, [name]: shared[name] - step }, own);
      // The share of the coma is held fixed in its derivative, by design.
      compare(k, up, down, name.startsWith('coma') ? 0.05 : 1e-6);
    });
    (['seeing', 'focus', 'plus', 'cross'] as const).forEach((name, k) => {
      const up = at(shared, { ...own, [name]: own[name] + step });
      const down = at(shared, { ...own, [name]: own[name] - step });
      compare(SHARED.length + k, up, down, name === 'seeing' ? 0.05 : 1e-6);
    });
  });

  it('knows no difference between a focus and its mirror image with all optics turned', () => {
    const mirrored = {
      ...shared,
      tx: -shared.tx,
      ty: -shared.ty,
      gx: -shared.gx,
      gy: -shared.gy,
      km: -shared.km,
      ka: -shared.ka,
    };
    const a = new Float64Array(3);
    const b = new Float64Array(3);
    predictCellValues(frameOptics(shared, own, frame), cell, a);
    predictCellValues(frameOptics(mirrored, { ...own, focus: -own.focus }, frame), cell, b);
    a.forEach((value, k) => expect(b[k]).toBeCloseTo(value, 12));
  });
});

describe('predictSkew', () => {
  it('gives derivatives by the coma', () => {
    const into = { value: new Float64Array(2), byComa: new Float64Array(6) };
    const at = (s: typeof shared): number[] => {
      predictSkew(s.comaG, s.comaX, s.comaY, cell, into);
      return [...into.value];
    };
    predictSkew(shared.comaG, shared.comaX, shared.comaY, cell, into);
    const slopes = [...into.byComa];
    (['comaG', 'comaX', 'comaY'] as const).forEach((name, k) => {
      const up = at({ ...shared, [name]: shared[name] + 1e-6 });
      const down = at({ ...shared, [name]: shared[name] - 1e-6 });
      expect(slopes[k]).toBeCloseTo((up[0] - down[0]) / 2e-6, 5);
      expect(slopes[3 + k]).toBeCloseTo((up[1] - down[1]) / 2e-6, 5);
    });
  });
});

describe('predictWidthRatio', () => {
  it('is one in focus without optics, and falls with defocus', () => {
    const means = fieldMeans(0.83, 0.55);
    const flat = { ...shared, tx: 0, ty: 0, gx: 0, gy: 0, km: 0, ka: 0 };
    const at = (focus: number): number =>
      predictWidthRatio(frameOptics(flat, { ...own, focus }, frame), means).value;
    expect(at(0)).toBe(1);
    expect(at(3)).toBeLessThan(0.95);
  });
});

describe('numbers', () => {
  it('come back as the records they were made of', () => {
    expect(namedShared(sharedNumbers(shared))).toEqual(shared);
    const other = { ...own, focus: -2 };
    expect(namedOwn(ownNumbers([own, other]), 1)).toEqual(other);
  });
});

describe('fieldMeans', () => {
  it('are those of an oblong', () => {
    // Mean of u^2 over [-a, a] is a^2/3.
    const means = fieldMeans(0.8, 0.6);
    expect(means.u2).toBeCloseTo(0.64 / 3, 12);
    expect(means.r2).toBeCloseTo(1 / 3, 12);
    expect(means.r4).toBeCloseTo(0.8 ** 4 / 5 + 0.6 ** 4 / 5 + 2 * (0.64 / 3) * (0.36 / 3), 12);
  });
});
