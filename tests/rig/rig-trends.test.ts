import { expect, it } from 'vitest';
import { rigTrends } from '../../src/rig/rig-trends.js';
import { madeStore, onlyRig } from './made-history.js';

it('collects the chosen metrics, says what was not measured, and keeps the range', () => {
  const store = madeStore(Array.from({ length: 6 }, (_, i) => ({ tiltMicron: 10 + i })));
  const trends = rigTrends(store, onlyRig(store), ['tilt', 'focus-law'], { since: '2026-01-03' });
  expect(trends).toMatchObject({
    schema: 'starassay/rig-trend@1',
    since: '2026-01-03',
    until: null,
    filter: null,
  });
  expect(trends.metrics.map((metric) => [metric.metric, metric.points.length])).toEqual([['tilt', 4]]);
  expect(trends.absent).toEqual({ 'focus-law': 'not measured on any of these nights' });
  expect(() => rigTrends(store, onlyRig(store), ['tild'])).toThrow(/tild/);
  store.close();
});
