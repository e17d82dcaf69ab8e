import { describe, expect, it } from 'vitest';
import { metricOf } from '../../src/rig/metrics.js';
import { metricStatus, rigStatus } from '../../src/rig/rig-status.js';
import type { MetricCode, RigNote } from '../../src/rig/types.js';
import { madeStore, onlyRig, pointsOf, wobble } from './made-history.js';

const statusOf = (code: MetricCode, values: readonly number[], notes: readonly RigNote[] = []) =>
  metricStatus(metricOf(code), pointsOf(values), notes)!;
const level = (value: number, count: number) => wobble(count).map((v) => v + value);
const noteOn = (date: string): RigNote => ({
  id: 'n',
  number: 3,
  date,
  text: 'draw tube clamped anew',
  spacingMm: null,
  kind: 'logged',
});

describe('status of a figure', () => {
  it('quiet: normal', () => {
    expect(statusOf('tilt', level(12, 30))).toMatchObject({ state: 'normal', since: null, note: null });
  });

  it('left its normal level: since when, after which note', () => {
    const values = [...level(12, 30), ...level(40, 12)];
    const since = pointsOf(values)[30].date;
    expect(statusOf('tilt', values, [noteOn(since)])).toMatchObject({
      state: 'left',
      since,
      note: { number: 3 },
    });
    const { sentence } = statusOf('tilt', values, [noteOn(since)]);
    expect(sentence).toMatch(
      /^Sensor tilt left its normal level of 1\d\.\d µm on .* \(note 3: draw tube clamped anew\): now [34]\d\.\d µm\.$/,
    );
  });

  it('left and came back: normal', () => {
    expect(statusOf('tilt', [...level(12, 20), ...level(40, 12), ...level(12, 20)]).state).toBe('normal');
  });

  it('improved a few nights ago is news, long ago is the normal', () => {
    expect(statusOf('tilt', [...level(40, 30), ...level(12, 12)]).state).toBe('improved');
    expect(statusOf('tilt', [...level(40, 30), ...level(12, 30)])).toMatchObject({ state: 'normal' });
  });

  it('drifts for the worse, not for the better', () => {
    const drift = (by: number) => level(12, 80).map((v, i) => v + by * i);
    expect(statusOf('tilt', drift(0.15)).state).toBe('drifting');
    expect(statusOf('tilt', drift(0.15)).sentence).toMatch(/drifts steadily by \+\d\d\.\d µm a year/);
    expect(
      statusOf(
        'tilt',
        drift(-0.15).map((v) => v + 12),
      ).state,
    ).not.toBe('drifting');
  });

  it('a decay after a long level: drifting, since when', () => {
    const values = level(12, 90).map((v, i) => v + 0.4 * Math.max(0, i - 60));
    const { state, since, sentence, note } = statusOf('tilt', values, [noteOn(pointsOf(values)[60].date)]);
    expect(state).toBe('drifting');
    expect(note).toBeNull();
    const first = pointsOf(values).findIndex((point) => point.date === since);
    expect(Math.abs(first - 60)).toBeLessThanOrEqual(6);
    expect(sentence).toMatch(/^Sensor tilt drifts steadily since 2026-\d\d-\d\d by \+/);
  });

  it('one bad last night says just that', () => {
    const values = level(12, 30);
    values.push(60);
    expect(statusOf('tilt', values)).toMatchObject({ state: 'last-night', since: pointsOf(values)[30].date });
    const seeing = level(2.5, 30).map((v) => 2.5 + (v - 2.5) / 5);
    expect(statusOf('seeing-zenith', [...seeing, 9]).state).toBe('last-night');
    // Better than usual is no alarm.
    expect(statusOf('seeing-zenith', [...seeing, 0.1]).state).toBe('normal');
  });

  it('a season of bad seeing is no news about the rig', () => {
    const season = [...level(2, 40), ...level(3, 40)].map((v) => v / 1 + 3);
    expect(statusOf('seeing-zenith', season)).toMatchObject({ state: 'normal', note: null });
  });
});

it('a rig: metrics with a normal range, and why the others have none', () => {
  const store = madeStore(Array.from({ length: 10 }, (_, i) => ({ tiltMicron: i < 6 ? null : 5 })));
  const status = rigStatus(store, onlyRig(store));
  expect(status).toMatchObject({
    schema: 'starassay/rig-status@1',
    nights: 10,
    firstNight: '2026-01-01',
    lastNight: '2026-01-10',
  });
  expect(status.metrics.map((metric) => metric.metric)).toContain('elongation');
  expect(status.absent.tilt).toMatch(/only 4 nights so far/);
  expect(status.absent['focus-law']).toBe('not measured yet');
  store.close();
});
