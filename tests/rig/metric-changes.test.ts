import { describe, expect, it } from 'vitest';
import { dayNumber, metricChanges, months } from '../../src/rig/metric-changes.js';
import type { RigNote } from '../../src/rig/types.js';
import { pointsOf, wobble } from './made-history.js';

const note = (date: string, kind: RigNote['kind'] = 'logged'): RigNote => ({
  id: date,
  number: 1,
  date,
  text: `note of ${date}`,
  spacingMm: null,
  kind,
});
const stepped = pointsOf(wobble(60).map((value, i) => 20 + value + (i >= 40 ? 12 : 0)));

describe('changes of a figure', () => {
  it('have a date, a size and stretches with limits on either side', () => {
    const { changes, stretches, outliers } = metricChanges(stepped, []);
    expect(changes).toHaveLength(1);
    expect(changes[0]).toMatchObject({ date: stepped[40].date, previousDate: stepped[39].date, note: null });
    expect(changes[0].size).toBeCloseTo(12, 0);
    expect(stretches.map((stretch) => stretch.nights)).toEqual([40, 20]);
    expect(stretches[0].chart!.upperLimit).toBeLessThan(32);
    expect(outliers).toEqual([]);
  });

  it('are laid to a note a few nights before or typed a little late, not to one far off', () => {
    const noteOf = (date: string) => metricChanges(stepped, [note(date)]).changes[0].note?.date;
    expect(noteOf(stepped[40].date)).toBe(stepped[40].date);
    expect(noteOf(stepped[37].date)).toBe(stepped[37].date);
    expect(noteOf(stepped[42].date)).toBe(stepped[42].date);
    expect(noteOf(stepped[20].date)).toBeUndefined();
    expect(noteOf(stepped[50].date)).toBeUndefined();
    const both = [note(stepped[40].date, 'automatic'), note(stepped[40].date)];
    expect(metricChanges(stepped, both).changes[0].note?.kind).toBe('logged');
  });

  it('a single odd night is named, not called a change', () => {
    const values = wobble(40);
    values[25] = 30;
    const points = pointsOf(values);
    expect(metricChanges(points, [])).toMatchObject({ changes: [], outliers: [points[25].date] });
  });

  it('a drift does not make its ends odd nights', () => {
    const points = pointsOf(wobble(120).map((value, i) => value + 0.2 * i));
    const { driftPerMonth, outliers, changes } = metricChanges(points, []);
    expect(driftPerMonth).toBeCloseTo(6, 0);
    expect(changes).toEqual([]);
    expect(outliers).toEqual([]);
  });

  it('a slow decay and its cure: one drift between two levels, the cure alone laid to a note', () => {
    const points = pointsOf(wobble(120).map((v, i) => 20 + v + (i >= 60 && i < 100 ? 0.5 * (i - 60) : 0)));
    const notes = [note(points[60].date), note(points[100].date)];
    const { changes, stretches, driftPerMonth } = metricChanges(points, notes);
    expect(changes.map(({ kind }) => kind)).toEqual(['bend', 'step']);
    expect(changes.map((change) => change.note?.date)).toEqual([undefined, points[100].date]);
    expect(changes[1].before).toBeGreaterThan(37);
    expect(stretches.map((stretch) => stretch.driftPerMonth !== 0)).toEqual([false, true, false]);
    expect(stretches[1].startLevel).toBeLessThan(23);
    expect(stretches[1].endLevel).toBeGreaterThan(37);
    expect(driftPerMonth).toBe(0);
  });

  it('nothing from nothing', () => {
    expect(metricChanges([], [])).toEqual({ changes: [], stretches: [], driftPerMonth: 0, outliers: [] });
    expect(metricChanges(pointsOf([1]), []).stretches).toMatchObject([{ nights: 1, chart: null }]);
    expect(dayNumber('1970-01-02')).toBe(1);
    expect(months(pointsOf([1, 2]))).toEqual([0, 1 / 30]);
  });
});
