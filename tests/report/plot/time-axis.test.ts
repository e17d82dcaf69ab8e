import { describe, expect, it } from 'vitest';
import { drawGaps, drawTimeAxis, timeAxis } from '../../../src/report/plot/time-axis.js';

const area = { left: 50, top: 0, width: 1000, height: 80 };
const start = Date.UTC(2026, 10, 21, 20);
const minute = 60_000;

describe('timeAxis', () => {
  it('keeps equal steps of time equal, in order and inside', () => {
    const axis = timeAxis(
      [0, 3, 6, 9].map((m) => start + m * minute),
      area,
    );
    const steps = axis.x.slice(1).map((x, i) => x - axis.x[i]!);
    for (const step of steps) expect(step).toBeCloseTo(steps[0]!, 6);
    expect(axis.x[0]).toBeGreaterThan(50);
    expect(axis.x[3]).toBeLessThan(1050);
    expect(axis.gaps).toEqual([]);
  });

  it('cuts a long pause short, says how long it was, and keeps the scale on both sides', () => {
    const axis = timeAxis(
      [0, 3, 6, 126, 129, 132].map((m) => start + m * minute),
      area,
    );
    expect(axis.gaps).toHaveLength(1);
    expect(axis.gaps[0]!.label).toBe('1 h 57 min');
    expect(axis.x[1]! - axis.x[0]!).toBeCloseTo(axis.x[4]! - axis.x[3]!, 6);
    expect(axis.gaps[0]!.left).toBeGreaterThan(axis.x[2]!);
    expect(axis.gaps[0]!.right).toBeLessThan(axis.x[3]!);
  });

  it('places its clock labels where frames of that time stand', () => {
    const times = Array.from({ length: 61 }, (_, i) => start + i * minute);
    const axis = timeAxis(times, area);
    const tick = axis.ticks.find(({ label }) => label === '20:30')!;
    expect(tick.x).toBeCloseTo(axis.x[30]!, 6);
  });

  it('says each minute once where few frames stand within some minutes', () => {
    const labels = timeAxis([start, start + 2 * minute, start + 4 * minute], area).ticks.map(
      ({ label }) => label,
    );
    expect(labels.length).toBeGreaterThan(2);
    expect(new Set(labels).size).toBe(labels.length);
  });

  it('goes by number when a frame has no time', () => {
    const axis = timeAxis([start, null, start + minute], area);
    expect(axis.kind).toBe('number');
    expect(axis.x[1]).toBeCloseTo(550, 6);
  });

  it('stands one frame in the middle, and takes frames of one and the same time', () => {
    expect(timeAxis([start], area).x).toEqual([550]);
    expect(timeAxis([start], area).ticks).toEqual([{ x: 550, label: '20:00' }]);
    for (const x of timeAxis([start, start, start], area).x) expect(x).toBeGreaterThan(50);
    expect(timeAxis([], area).x).toEqual([]);
  });

  it('writes dates when the frames spread over many nights, one frame each', () => {
    const axis = timeAxis(
      Array.from({ length: 25 }, (_, i) => start + i * 24 * 60 * minute),
      area,
    );
    expect(axis.gaps.length).toBe(0);
    expect(axis.ticks[0]!.label).toMatch(/^11-2\d$/);
    for (let i = 1; i < axis.ticks.length; i++)
      expect(axis.ticks[i]!.x - axis.ticks[i - 1]!.x).toBeGreaterThanOrEqual(44);
  });
});

it('names a date once, though a pause cuts its night in two', () => {
  const night = (day: number) =>
    Array.from(
      { length: 40 },
      (_, i) => start + day * 24 * 60 * minute + (i + (i > 19 ? 60 : 0)) * 3 * minute,
    );
  const labels = timeAxis([0, 1, 2, 3].flatMap(night), area).ticks.map((tick) => tick.label);
  expect(labels.length).toBeGreaterThan(1);
  expect(new Set(labels).size).toBe(labels.length);
});

describe('drawing', () => {
  it('draws ticks and gaps', () => {
    const axis = timeAxis(
      [0, 3, 6, 126, 129].map((m) => start + m * minute),
      area,
    );
    expect(drawGaps(axis, area).text).toMatch(/class="gap"/);
    expect(drawTimeAxis(axis, area).text).toContain(axis.ticks[0]!.label);
  });
});
