import { expect, it } from 'vitest';
import { chooseMetrics, metricOf, metrics } from '../../src/rig/metrics.js';

it('codes are unique and every metric is described', () => {
  expect(new Set(metrics.map((metric) => metric.code)).size).toBe(metrics.length);
  for (const metric of metrics) {
    expect(metric.title).not.toBe('');
    expect(metric.about).not.toBe('');
  }
  expect(metricOf('tilt').title).toBe('Sensor tilt');
  expect(() => metricOf('nothing' as never)).toThrow(RangeError);
});

it('a name that does not exist lists those that do', () => {
  expect(chooseMetrics([])).toHaveLength(metrics.length);
  expect(chooseMetrics(['seeing-zenith', 'tilt']).map((m) => m.code)).toEqual(['tilt', 'seeing-zenith']);
  try {
    chooseMetrics(['tild']);
    expect.unreachable();
  } catch (error) {
    expect((error as Error).message).toContain('tild');
    expect((error as { remedy: string }).remedy).toContain('tilt, tilt-x');
  }
});
