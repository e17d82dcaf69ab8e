import { expect, it } from 'vitest';
import { trendPanel } from '../../../src/report/rig/trend-panel.js';
import { metricTrend } from '../../../src/rig/metric-trend.js';
import { metricOf } from '../../../src/rig/metrics.js';
import { pointsOf } from '../../rig/made-history.js';
import { driftingTrend, stepNote, steppedTrend } from './trend-fixture.js';

it('draws a dot a night, a band a stretch, the change and the note, inside the picture', () => {
  const svg = trendPanel(steppedTrend, [stepNote]).text;
  expect(svg.match(/class="(nightdot|oddnight)"/g)).toHaveLength(60);
  expect(svg.match(/class="band"/g)).toHaveLength(2);
  expect(svg.match(/class="limit"/g)).toHaveLength(1);
  expect(svg).toContain('note 1');
  expect(svg).not.toContain('<b>instead</b>');
  expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  for (const [, y] of svg.matchAll(/cy="([\d.-]+)"/g)) {
    expect(Number(y)).toBeGreaterThan(20);
    expect(Number(y)).toBeLessThan(216);
  }
});

it('a slope line only where there is no step', () => {
  expect(trendPanel(steppedTrend, []).text).not.toContain('class="curve"');
  expect(trendPanel(driftingTrend, []).text).toContain('class="curve"');
});

it('one night alone is drawn', () => {
  const svg = trendPanel(metricTrend(metricOf('tilt'), pointsOf([12]), []), []).text;
  expect(svg).not.toMatch(/NaN|Infinity/);
  expect(svg.match(/class="nightdot"/g)).toHaveLength(1);
});
