import { expect, it } from 'vitest';
import { pText, trendSentences } from '../../../src/report/rig/trend-words.js';
import { metricTrend } from '../../../src/rig/metric-trend.js';
import { metricOf } from '../../../src/rig/metrics.js';
import { pointsOf, wobble } from '../../rig/made-history.js';
import { driftingTrend, steppedTrend } from './trend-fixture.js';

it('a step with its note, and no slope through it', () => {
  const text = trendSentences(steppedTrend).join(' ');
  expect(text).toMatch(
    /^Step on 2026-02-10: from 3\d\.\d to \d+\.\d µm \(−2\d\.\d ± 0\.\d\), after note 1, “thread/,
  );
  expect(text).toMatch(/\. Level between the steps\.$/);
});

it('a drift, odd nights, and too few nights', () => {
  expect(trendSentences(driftingTrend).join(' ')).toMatch(
    /^Slope \+0\.1[45]\d* ″ a month \(95 %: .*\): a slow drift \(p < 0\.001\) over 60 nights\.$/,
  );
  const decay = pointsOf(wobble(120).map((v, i) => 20 + v + (i >= 60 && i < 100 ? 0.5 * (i - 60) : 0)));
  const text = trendSentences(metricTrend(metricOf('tilt'), decay, [])).join(' ');
  expect(text).toMatch(
    /^Slow drift 2026-\S+ to 2026-\S+: from 2\d\.\d to \d\d\.\d µm \(\+1\d a month\)\. Step on 2026-04-11: .*, with no note to explain it\.$/,
  );
  expect(trendSentences(metricTrend(metricOf('tilt'), pointsOf([1, 2]), []))).toEqual([
    '2 nights: too few for a trend.',
  ]);
  const odd = { ...steppedTrend, outliers: ['2026-01-02'] };
  expect(trendSentences(odd).at(-1)).toBe('Outside the control limits: 1 night: 2026-01-02.');
  const many = { ...steppedTrend, outliers: ['a', 'b', 'c', 'd', 'e'] };
  expect(trendSentences(many).at(-1)).toBe('Outside the control limits: 5 nights, last c, d, e.');
});

it('p-values', () => {
  expect([1e-9, 0.0123, 0.234].map(pText)).toEqual(['< 0.001', '= 0.012', '= 0.23']);
});
