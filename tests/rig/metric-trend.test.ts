import { expect, it } from 'vitest';
import { trendSentences } from '../../src/report/rig/trend-words.js';
import { metricTrend } from '../../src/rig/metric-trend.js';
import { metricOf } from '../../src/rig/metrics.js';
import { pointsOf, wobble } from './made-history.js';

it('slope a month with its interval and significance', () => {
  const trend = metricTrend(
    metricOf('tracking'),
    pointsOf(wobble(90).map((value, i) => value / 10 + i / 300)),
    [],
  );
  expect(trend.slopePerMonth!.slope).toBeCloseTo(0.1, 2);
  expect(trend.slopePerMonth!.low).toBeLessThan(0.1);
  expect(trend.slopePerMonth!.high).toBeGreaterThan(0.1);
  expect(trend.mannKendall!.p).toBeLessThan(1e-6);
  expect(trend).toMatchObject({ metric: 'tracking', unit: '″', slopeSinceChange: null });
});

it('after a change the slope of the last stretch stands apart', () => {
  const trend = metricTrend(
    metricOf('tilt'),
    pointsOf(wobble(60).map((value, i) => value + (i >= 40 ? 15 : 0))),
    [],
  );
  expect(trend.slopePerMonth!.slope).toBeGreaterThan(3);
  expect(Math.abs(trend.slopeSinceChange!.slope)).toBeLessThan(2);
  expect(trend.slopeSinceChange!.count).toBe(20);
});

it('two nights: no slope, no significance', () => {
  expect(metricTrend(metricOf('tilt'), pointsOf([1, 2]), [])).toMatchObject({
    slopePerMonth: null,
    mannKendall: null,
    changes: [],
  });
});

it('a lasting change of the sky is put down to no note', () => {
  const points = pointsOf(wobble(60).map((value, i) => 10 + value + (i >= 40 ? 12 : 0)));
  const note = {
    id: 'n',
    number: 1,
    date: points[40].date,
    text: 'spacer added',
    spacingMm: 0.5,
    kind: 'logged' as const,
  };
  expect(metricTrend(metricOf('tilt'), points, [note]).changes[0].note).toEqual(note);
  const sky = metricTrend(metricOf('seeing-zenith'), points, [note]);
  expect(sky.changes).toHaveLength(1);
  expect(sky.changes[0].note).toBeNull();
  expect(trendSentences(sky).join(' ')).not.toContain('explain');
});
