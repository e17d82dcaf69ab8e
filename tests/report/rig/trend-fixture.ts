import { metricOf } from '../../../src/rig/metrics.js';
import { metricTrend } from '../../../src/rig/metric-trend.js';
import type { RigNote, RigTrends } from '../../../src/rig/types.js';
import { pointsOf, wobble } from '../../rig/made-history.js';

/** Forty nights at 38, twenty at 9 micrometres, a hostile note at the step. */
export const stepNote: RigNote = {
  id: 'n',
  number: 1,
  date: '2026-02-10',
  text: 'thread <b>instead</b> of "draw tube"',
  spacingMm: 0.5,
  kind: 'logged',
};
const steps = pointsOf(wobble(60).map((value, i) => (i < 40 ? 38 : 9) + value));
export const steppedTrend = metricTrend(metricOf('tilt'), steps, [stepNote]);
export const driftingTrend = metricTrend(
  metricOf('tracking'),
  pointsOf(wobble(60).map((value, i) => 0.8 + value / 20 + i / 200)),
  [],
);

export const trends: RigTrends = {
  schema: 'starassay/rig-trend@1',
  version: '0.0.0',
  rig: { id: 'abc', name: 'garden <script>alert(1)</script> refractor' },
  since: null,
  until: null,
  filter: 'L',
  notes: [stepNote],
  metrics: [steppedTrend, driftingTrend],
  absent: { 'focus-law': 'not measured on any of these nights' },
};
