import { describe, expect, it } from 'vitest';
import { metricChanges } from '../../src/rig/metric-changes.js';
import { metricOf } from '../../src/rig/metrics.js';
import { isOwnDoing, normalRange, normalStretchIndex, rigNormals } from '../../src/rig/normals.js';
import type { MetricCode } from '../../src/rig/types.js';
import { madeStore, onlyRig, pointsOf, wobble } from './made-history.js';

const rangeOf = (code: MetricCode, values: readonly number[]) => {
  const points = pointsOf(values);
  return normalRange(metricOf(code), points, metricChanges(points, []));
};
const level = (from: number, to: number, count = 20) => [
  ...wobble(count).map((v) => v + from),
  ...wobble(count).map((v) => v + to),
];

describe('what is normal', () => {
  it('an improvement sets a new normal, a deterioration does not', () => {
    expect(rangeOf('tilt', level(40, 12))!.median).toBeCloseTo(12, 0);
    expect(rangeOf('tilt', level(12, 40))!.median).toBeCloseTo(12, 0);
    expect(rangeOf('curvature', level(-40, 3))!.median).toBeCloseTo(3, 0);
    expect(rangeOf('curvature', level(-3, 40))!.median).toBeCloseTo(-3, 0);
  });

  it('a first stretch too short to be normal gives way', () => {
    const values = [...wobble(5).map((v) => v + 5), ...wobble(25).map((v) => v + 40)];
    expect(rangeOf('tilt', values)!.median).toBeCloseTo(40, 0);
    expect(normalStretchIndex(metricOf('tilt'), metricChanges(pointsOf(wobble(20)), []))).toBe(0);
  });

  it('a figure without a better side keeps its level until a logged note moves it', () => {
    const points = pointsOf(level(500, 540));
    const note = {
      id: 'n',
      number: 1,
      date: points[20].date,
      text: 'reducer',
      spacingMm: null,
      kind: 'logged' as const,
    };
    const range = (notes: readonly (typeof note)[]) =>
      normalRange(metricOf('focal-length'), points, metricChanges(points, notes))!.median;
    expect(range([])).toBeCloseTo(500, 0);
    expect(range([note])).toBeCloseTo(540, 0);
  });

  it('limits stay within what a figure can be', () => {
    expect(
      rangeOf(
        'tracking',
        wobble(20).map((v) => 0.4 + 0.3 * v),
      )!.low,
    ).toBe(0);
    expect(
      rangeOf(
        'elongation',
        wobble(20).map((v) => 1.05 + 0.04 * v),
      )!.low,
    ).toBe(1);
    expect(
      rangeOf(
        'keep-rate',
        wobble(20).map((v) => 97 + 2 * v),
      )!.high,
    ).toBe(100);
  });

  it('the sky: all nights, skewed limits', () => {
    expect(isOwnDoing(metricOf('seeing-zenith'))).toBe(false);
    const range = rangeOf(
      'fwhm-zenith',
      level(2.2, 3.4).map((v) => Math.max(1.2, v)),
    )!;
    expect(range.nights).toBe(40);
    expect(range.high - range.median).toBeGreaterThan(range.median - range.low);
  });

  it('under eight nights nothing is normal', () => {
    expect(rangeOf('tilt', wobble(7))).toBeNull();
    expect(rangeOf('tilt', [])).toBeNull();
    const store = madeStore(Array.from({ length: 9 }, (_, i) => ({ tiltMicron: i < 7 ? null : 5 })));
    const { figures, rigName } = rigNormals(store, onlyRig(store));
    expect(figures.tilt).toBeUndefined();
    expect(figures.elongation).toMatchObject({ nights: 9, from: '2026-01-01', to: '2026-01-09' });
    expect(rigName).toContain('Marsh 106');
    store.close();
  });
});

describe('nights that are mostly alike to the last digit', () => {
  it('the few that are not still give a range', () => {
    const values = Array.from({ length: 20 }, (_, i) => (i % 5 === 4 ? 80 : 100));
    const kept = normalRange(metricOf('keep-rate'), pointsOf(values), metricChanges([], []))!;
    expect(kept).toMatchObject({ median: 100, high: 100 });
    expect(kept.low).toBeGreaterThan(50);
    expect(kept.low).toBeLessThan(80);
    expect(rangeOf('elongation', values)!.sigma).toBeGreaterThan(1);
  });
});
