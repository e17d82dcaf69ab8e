import { expect, it } from 'vitest';
import { rigEvents } from '../../../src/report/rig/rig-events.js';
import { metricTrend } from '../../../src/rig/metric-trend.js';
import { metricOf } from '../../../src/rig/metrics.js';
import type { MetricCode } from '../../../src/rig/types.js';
import { pointsOf, wobble } from '../../rig/made-history.js';
import { driftingTrend, steppedTrend } from './trend-fixture.js';

const made = (code: MetricCode, shape: (night: number) => number) =>
  metricTrend(metricOf(code), pointsOf(wobble(120).map((v, i) => 30 + v + shape(i))), []);

it('figures that change within a few nights of each other show one event, the clearest first', () => {
  const tilt = made('tilt', (i) => (i < 60 ? 20 : 0));
  const alongX = made('tilt-x', (i) => (i < 58 ? 8 : 0));
  const later = made('curvature', (i) => (i < 90 ? 20 : 0));
  const events = rigEvents([alongX, tilt, later]);
  expect(events.map(({ kind, date }) => [kind, date])).toEqual([
    ['step', tilt.changes[0].date],
    ['step', later.changes[0].date],
  ]);
  expect(events[0].figures.map(({ metric }) => metric.metric)).toEqual(['tilt', 'tilt-x']);
});

it('a decay seen by two figures is one drift, and its cure one step', () => {
  const decay = (by: number) => (i: number) => (i >= 60 && i < 100 ? by * (i - 60) : 0);
  const events = rigEvents([made('tracking', decay(0.5)), made('guiding-ra', decay(0.4))]);
  expect(events.map(({ kind }) => kind)).toEqual(['drift', 'step']);
  expect(events[0].figures).toHaveLength(2);
});

it('of the whole time, and none', () => {
  expect(rigEvents([steppedTrend, driftingTrend]).map(({ kind }) => kind)).toEqual(['drift', 'step']);
  expect(rigEvents([])).toEqual([]);
});
