import { describe, expect, it } from 'vitest';
import { exportJsonLines } from '../../src/rig/export-history.js';
import { importJsonLines } from '../../src/rig/import-history.js';
import { addNote, listNotes, removeNote } from '../../src/rig/notes.js';
import { recordNight } from '../../src/rig/record-night.js';
import { findRig, nameRig, splitRig } from '../../src/rig/rigs.js';
import { openStore, type RigStore } from '../../src/rig/store.js';
import { madeNight, madeStore, onlyRig } from './made-history.js';

const everything = (store: RigStore) => [...exportJsonLines(store)];
const figures = (store: RigStore) => store.db.prepare('SELECT * FROM figure').all();

describe('joining two computers’ histories', () => {
  it('an empty one becomes the same, figures and all; again changes nothing', () => {
    const [a, b] = [madeStore([{}, { tiltMicron: 30 }]), openStore(':memory:')];
    addNote(a, onlyRig(a).id, { date: '2026-01-02', text: 'collimated', spacingMm: 0.3 });
    expect(importJsonLines(b, everything(a), 'a').added).toMatchObject({
      rig: 1,
      train: 1,
      night: 2,
      frame: 6,
      note: 1,
    });
    expect(everything(b)).toEqual(everything(a));
    expect(figures(b)).toEqual(figures(a));
    const again = importJsonLines(b, everything(a), 'a');
    expect(
      [...Object.values(again.added), ...Object.values(again.replaced)].every((count) => count === 0),
    ).toBe(true);
    a.close();
    b.close();
  });

  it('does not depend on who imports from whom', () => {
    const make = () => {
      const [a, b] = [madeStore([{}, {}]), madeStore([{ elongation: 1.3 }], '2026-01-02')];
      recordNight(b, madeNight('2026-01-05'), '2026-01-06T00:00:00.000Z');
      nameRig(a, onlyRig(a).id, 'named on a', '2026-02-01T00:00:00.000Z');
      nameRig(b, onlyRig(b).id, 'named on b', '2026-02-02T00:00:00.000Z');
      addNote(a, onlyRig(a).id, { date: '2026-01-01', text: 'from a' });
      addNote(b, onlyRig(b).id, { date: '2026-01-01', text: 'from b' });
      return [a, b] as const;
    };
    const [a, b] = make();
    const [linesA, linesB] = [everything(a), everything(b)];
    importJsonLines(a, linesB, 'b');
    importJsonLines(b, linesA, 'a');
    expect(everything(a)).toEqual(everything(b));
    expect(figures(a)).toEqual(figures(b));
    expect(onlyRig(a).name).toBe('named on b');
    expect(
      listNotes(a, onlyRig(a).id)
        .map((note) => note.text)
        .sort(),
    ).toEqual(['from a', 'from b']);
    a.close();
    b.close();
  });

  it('a removed note stays removed, a split survives a later recording elsewhere', () => {
    const a = madeStore([{}, {}]);
    const rig = onlyRig(a);
    addNote(a, rig.id, { date: '2026-01-01', text: 'wrong' });
    const b = openStore(':memory:');
    importJsonLines(b, everything(a), 'a');
    removeNote(a, listNotes(a, rig.id)[0]);
    splitRig(a, rig.id, { since: '2026-01-02' }, 'apart');
    recordNight(b, madeNight('2026-01-02', { frames: 3 }), '2099-01-01T00:00:00.000Z');
    importJsonLines(a, everything(b), 'b');
    expect(listNotes(a, rig.id)).toEqual([]);
    expect(a.db.prepare("SELECT assignedRigId FROM night WHERE date = '2026-01-02'").pluck().get()).toBe(
      findRig(a, 'apart').id,
    );
    a.close();
    b.close();
  });

  it('of two versions of a sub the later recorded wins', () => {
    const [a, b] = [openStore(':memory:'), openStore(':memory:')];
    recordNight(a, madeNight('2026-01-01', { elongation: 1.1 }), '2026-01-02T00:00:00.000Z');
    recordNight(b, madeNight('2026-01-01', { elongation: 1.4 }), '2026-01-03T00:00:00.000Z');
    expect(importJsonLines(a, everything(b), 'b').replaced.frame).toBe(5);
    expect(importJsonLines(b, everything(a), 'a').replaced.frame).toBe(0);
    expect(a.db.prepare('SELECT DISTINCT elongation FROM frame').pluck().all()).toEqual([1.4]);
    a.close();
    b.close();
  });

  it('anything else is refused by line, and nothing of it stays', () => {
    const store = openStore(':memory:');
    const good = everything(madeStore([{}]));
    const broken: readonly (readonly [string[], RegExp])[] = [
      [['{"hello":1}'], /line 1: it does not start/],
      [[good[0], 'half a li'], /line 2: not a JSON record/],
      [[good[0], '{"type":"figure"}'], /line 2: unknown kind of record "figure"/],
      [[...good.slice(0, 3), '{"type":"night"}'], /a night without id/],
      [[...good.slice(0, 3), '{"type":"night","id":"x"}'], /line 4: an incomplete night/],
      [[good[0], ...good.slice(2)], /not whole: a train refers to a rig/],
    ];
    for (const [lines, message] of broken) {
      expect(() => importJsonLines(store, lines, 'x.jsonl')).toThrow(message);
      expect(everything(store)).toHaveLength(1);
    }
    expect(importJsonLines(store, [...good, ''], 'x').added.frame).toBe(3);
    store.close();
  });
});
