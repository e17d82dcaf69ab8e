import { describe, expect, it } from 'vitest';
import { nightSeries } from '../../src/rig/night-series.js';
import { recordNight } from '../../src/rig/record-night.js';
import { madeNight, madeStore, onlyRig } from './made-history.js';

describe('series of night figures', () => {
  it('come by metric in order of date', () => {
    const store = madeStore([{ tiltMicron: 3 }, { tiltMicron: null }, { tiltMicron: 5 }]);
    const series = nightSeries(store, onlyRig(store).id);
    expect(series.get('tilt')!.map((point) => [point.date, point.value])).toEqual([
      ['2026-01-01', 3],
      ['2026-01-03', 5],
    ]);
    expect(series.get('elongation')).toHaveLength(3);
    expect(series.get('focus-law')).toBeUndefined();
    store.close();
  });

  it('through one filter: its frames only, the joint fit as it is', () => {
    const store = madeStore([{ elongation: 1.1 }]);
    recordNight(
      store,
      madeNight('2026-01-01', { frames: 3, filter: 'Ha', elongation: 1.3, header: { temperatureC: -9 } }),
    );
    const { id } = onlyRig(store);
    const value = (filter: string | null, metric: 'elongation' | 'tilt') =>
      nightSeries(store, id, { filter }).get(metric)![0].value;
    expect(value('ha', 'elongation')).toBe(1.3);
    expect(value('L', 'elongation')).toBeCloseTo(1.1, 12);
    expect(value(null, 'elongation')).toBeCloseTo(1.2, 12);
    expect(value('Ha', 'tilt')).toBe(20);
    expect(() => nightSeries(store, id, { filter: 'OIII' })).toThrow(/OIII/);
    store.close();
  });
});
