import { describe, expect, it } from 'vitest';
import { addNote, listNotes } from '../../src/rig/notes.js';
import { recordNight } from '../../src/rig/record-night.js';
import { rigNights } from '../../src/rig/rig-nights.js';
import { findRig, listRigs, mergeRigs, nameRig, owners, splitRig } from '../../src/rig/rigs.js';
import { openStore } from '../../src/rig/store.js';
import { madeNight, madeStore } from './made-history.js';

/** Two rigs: 530 mm on three nights, 424 mm on two. */
function twoRigs() {
  const store = madeStore([{}, {}, {}]);
  for (const date of ['2026-02-01', '2026-02-02'])
    recordNight(store, madeNight(date, { header: { focalLengthMm: 424 } }));
  return { store, long: findRig(store, 'Marsh 106, 530'), short: findRig(store, 'Marsh 106, 424') };
}

describe('rigs', () => {
  it('are listed with their trains, nights and subs, the latest first', () => {
    const { store } = twoRigs();
    const rigs = listRigs(store);
    expect(rigs.map((rig) => [rig.name, rig.nights, rig.frames, rig.firstNight, rig.lastNight])).toEqual([
      ['Marsh 106, 424 mm, Heron 26M', 2, 10, '2026-02-01', '2026-02-02'],
      ['Marsh 106, 530 mm, Heron 26M', 3, 9, '2026-01-01', '2026-01-03'],
    ]);
    expect(rigs[0].trains).toHaveLength(1);
    store.close();
  });

  it('are found by name in any case, by id, by the start of either; alone without a name', () => {
    const { store, long } = twoRigs();
    expect(findRig(store, 'MARSH 106, 530 MM, heron 26m').id).toBe(long.id);
    expect(findRig(store, long.id.slice(0, 6)).id).toBe(long.id);
    expect(() => findRig(store, 'Marsh')).toThrow(/fits several/);
    expect(() => findRig(store, 'gone')).toThrow(/no rig called/);
    expect(() => findRig(store, undefined)).toThrow(/several rigs/);
    store.close();
    const empty = openStore(':memory:');
    expect(() => findRig(empty, undefined)).toThrow(/holds no rig yet/);
    empty.close();
  });

  it('take a name, but not that of another; recording on keeps it', () => {
    const { store, long, short } = twoRigs();
    nameRig(store, long.id, '  garden refractor ');
    expect(findRig(store, 'garden').id).toBe(long.id);
    expect(() => nameRig(store, short.id, 'Garden Refractor')).toThrow(/another rig/);
    expect(() => nameRig(store, short.id, ' ')).toThrow(/empty/);
    recordNight(store, madeNight('2026-01-20'));
    expect(findRig(store, 'garden').id).toBe(long.id);
    store.close();
  });

  it('merge with nights and notes, and part again', () => {
    const { store, long, short } = twoRigs();
    addNote(store, short.id, { date: '2026-02-01', text: 'reducer put in' });
    mergeRigs(store, long.id, short.id);
    expect(listRigs(store).map((rig) => rig.nights)).toEqual([5]);
    expect(listNotes(store, long.id).map((note) => note.text)).toEqual(['reducer put in']);
    recordNight(store, madeNight('2026-02-03', { header: { focalLengthMm: 424 } }));
    expect(rigNights(store, long.id)).toHaveLength(6);
    expect(splitRig(store, long.id, { mergedRig: short.id }, '')).toEqual({ rigId: short.id, nights: 3 });
    expect(rigNights(store, long.id)).toHaveLength(3);
    expect(() => mergeRigs(store, long.id, long.id)).toThrow(/itself/);
    expect(() => splitRig(store, long.id, { mergedRig: 'gone' }, '')).toThrow(/no rig called/);
    store.close();
  });

  it('merged in opposite directions on two computers: one stands for both', () => {
    const { store, long, short } = twoRigs();
    mergeRigs(store, long.id, short.id);
    mergeRigs(store, short.id, long.id);
    const owner = owners(store);
    expect(owner(long.id)).toBe(owner(short.id));
    expect(listRigs(store).map((rig) => rig.nights)).toEqual([5]);
    store.close();
  });

  it('split by train: its future nights go along', () => {
    const store = madeStore([{}, {}, { rotationDeg: 20 }]);
    const rig = findRig(store, undefined);
    const turned = listRigs(store)[0].trains.find((train) => train.rotationDeg === 20)!;
    const { rigId, nights } = splitRig(store, rig.id, { trainKey: turned.key }, 'turned');
    expect(nights).toBe(1);
    recordNight(store, madeNight('2026-01-10', { rotationDeg: 21 }));
    recordNight(store, madeNight('2026-01-11'));
    expect(rigNights(store, rigId).map((night) => night.date)).toEqual(['2026-01-03', '2026-01-10']);
    expect(rigNights(store, rig.id)).toHaveLength(3);
    store.close();
  });

  it('split by time: those nights only', () => {
    const store = madeStore([{}, {}, {}, {}]);
    const rig = findRig(store, undefined);
    const { rigId } = splitRig(store, rig.id, { since: '2026-01-02', until: '2026-01-03' }, 'loaned');
    expect(rigNights(store, rigId).map((night) => night.date)).toEqual(['2026-01-02', '2026-01-03']);
    recordNight(store, madeNight('2026-01-02', { frames: 3 }));
    expect(rigNights(store, rigId)).toHaveLength(2);
    expect(() => splitRig(store, rig.id, { since: '2030-01-01' }, 'none')).toThrow(/no night/);
    expect(listRigs(store)).toHaveLength(2);
    store.close();
  });
});
