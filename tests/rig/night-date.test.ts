import { describe, expect, it } from 'vitest';
import { nightDate, nightDates } from '../../src/rig/night-date.js';

describe('evening date', () => {
  it('morning hours belong to the evening before, by local solar time', () => {
    expect(nightDate('2026-03-02T03:00:00.000Z', 12)).toBe('2026-03-01');
    expect(nightDate('2026-03-01T21:00:00.000Z', 12)).toBe('2026-03-01');
    // 120 degrees west: 04:00 UTC is eight in the evening of the day before.
    expect(nightDate('2026-03-02T04:00:00.000Z', -120)).toBe('2026-03-01');
    expect(nightDate('2026-03-02T13:00:00.000Z', -120)).toBe('2026-03-01');
    expect(nightDate('2026-03-01T20:00:00.000Z', 150)).toBe('2026-03-01');
    expect(nightDate(null, 0)).toBeNull();
    expect(nightDate('nonsense', 0)).toBeNull();
  });

  it('without a longitude a night across the noon of Greenwich stays one night', () => {
    const times = [
      '2026-03-02T09:00:00.000Z',
      '2026-03-02T11:30:00.000Z',
      '2026-03-02T12:30:00.000Z',
      '2026-03-02T14:00:00.000Z',
    ];
    const dates = nightDates(times.map((dateObs) => ({ dateObs, longitudeDeg: null })));
    expect(new Set(dates).size).toBe(1);
  });

  it('without a longitude, nights a day apart stay two', () => {
    const times = ['2026-03-01T22:00:00.000Z', '2026-03-02T22:00:00.000Z', 'unreadable'];
    expect(nightDates(times.map((dateObs) => ({ dateObs, longitudeDeg: null })))).toEqual([
      '2026-03-01',
      '2026-03-02',
      null,
    ]);
  });
});
