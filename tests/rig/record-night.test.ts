import { describe, expect, it } from 'vitest';
import { recordNight } from '../../src/rig/record-night.js';
import { openStore } from '../../src/rig/store.js';
import { madeNight } from './made-history.js';

const count = (store: ReturnType<typeof openStore>, table: string) =>
  store.db.prepare(`SELECT count(*) FROM ${table}`).pluck().get();

describe('recording a night', () => {
  it('again, moved and renamed: updated, never doubled', () => {
    const store = openStore(':memory:');
    expect(recordNight(store, madeNight('2026-03-01'))).toMatchObject({ added: 5, updated: 0 });
    expect(
      recordNight(store, madeNight('2026-03-01', { folder: 'archive/', elongation: 1.2 })),
    ).toMatchObject({ added: 0, updated: 5 });
    expect(count(store, 'frame')).toBe(5);
    expect(count(store, 'night')).toBe(1);
    expect(store.db.prepare('SELECT DISTINCT elongation FROM frame').pluck().all()).toEqual([1.2]);
    expect(store.db.prepare('SELECT file FROM frame ORDER BY file').pluck().get()).toBe(
      'archive/2026-03-01-0.fits',
    );
    store.close();
  });

  it('two halves of a night recorded apart are one night', () => {
    const store = openStore(':memory:');
    const night = madeNight('2026-03-01', { frames: 8 });
    recordNight(store, { ...night, frames: night.frames.slice(0, 4) });
    recordNight(store, { ...night, frames: night.frames.slice(4) });
    expect(count(store, 'night')).toBe(1);
    expect(
      store.db.prepare("SELECT frames FROM figure WHERE metric = 'elongation' AND filter = ''").pluck().get(),
    ).toBe(8);
    store.close();
  });

  it('a weaker fit of part of the night does not replace that of the whole night', () => {
    const store = openStore(':memory:');
    const tilt = () => store.db.prepare("SELECT value FROM figure WHERE metric = 'tilt'").pluck().get();
    recordNight(store, madeNight('2026-03-01', { frames: 20, tiltMicron: 20 }));
    recordNight(store, madeNight('2026-03-01', { frames: 5, tiltMicron: 90 }));
    expect(tilt()).toBe(20);
    recordNight(store, madeNight('2026-03-01', { frames: 20, tiltMicron: 25 }));
    expect(tilt()).toBe(25);
    recordNight(store, madeNight('2026-03-01', { frames: 20, tiltMicron: null }));
    expect(tilt()).toBe(25);
    store.close();
  });

  it('several nights and rigs in one assessment go to each its own', () => {
    const store = openStore(':memory:');
    const [a, b] = [madeNight('2026-03-01'), madeNight('2026-03-02')];
    const c = madeNight('2026-03-01', {
      header: { focalLengthMm: 424, camera: 'Heron 9M', temperatureC: -5 },
    });
    const result = recordNight(store, { ...a, frames: [...a.frames, ...b.frames, ...c.frames] });
    expect(result.nights.map((night) => night.date)).toEqual(['2026-03-01', '2026-03-02', '2026-03-01']);
    expect(new Set(result.nights.map((night) => night.rigId)).size).toBe(2);
    expect(count(store, 'rig')).toBe(2);
    store.close();
  });

  it('frames without a time are named and left out; an empty night stores nothing', () => {
    const store = openStore(':memory:');
    const night = madeNight('2026-03-01', { header: { dateObs: null } });
    expect(recordNight(store, night).undated).toHaveLength(5);
    expect(recordNight(store, { ...night, frames: [] })).toEqual({
      nights: [],
      added: 0,
      updated: 0,
      undated: [],
    });
    expect(count(store, 'night')).toBe(0);
    store.close();
  });

  it('keeps which causes were found', () => {
    const store = openStore(':memory:');
    const night = madeNight('2026-03-01');
    const cause = {
      code: 'sensor-tilt',
      answer: 'found',
      confidence: 0.9,
      frames: night.frames.map((f) => f.file),
    };
    recordNight(store, { ...night, night: { causes: [cause as never] } });
    expect(JSON.parse(store.db.prepare('SELECT causes FROM night').pluck().get() as string)).toEqual([
      { code: 'sensor-tilt', confidence: 0.9, frames: 5 },
    ]);
    store.close();
  });
});
