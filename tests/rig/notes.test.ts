import { describe, expect, it } from 'vitest';
import { addNote, allMarks, findNote, listNotes, removeNote } from '../../src/rig/notes.js';
import { madeStore, onlyRig } from './made-history.js';

describe('notes of a rig', () => {
  it('stand by date, keep the numbers they were logged under, are found, and removed', () => {
    const store = madeStore([{}]);
    const { id } = onlyRig(store);
    addNote(store, id, { date: '2026-03-04', text: ' spacer 0.5 mm added ', spacingMm: 0.5 });
    addNote(store, id, { date: '2026-02-01', text: 'collimated' }, '2099-01-01T00:00:00.000Z');
    expect(listNotes(store, id).map((note) => [note.number, note.text, note.spacingMm])).toEqual([
      [2, 'collimated', null],
      [1, 'spacer 0.5 mm added', 0.5],
    ]);
    removeNote(store, findNote(store, id, 1));
    expect(listNotes(store, id).map((note) => [note.number, note.text])).toEqual([[2, 'collimated']]);
    expect(() => findNote(store, id, 1)).toThrow(/no note 1/);
    removeNote(store, findNote(store, id, 2));
    addNote(store, id, { date: '2026-01-01', text: 'new' }, '2099-01-02T00:00:00.000Z');
    expect(listNotes(store, id).map((note) => note.number)).toEqual([3]);
    expect(() => addNote(store, id, { date: '2026-01-01', text: '  ' })).toThrow(/empty/);
    store.close();
  });

  it('a turn of the camera in the headers is a mark of its own', () => {
    const store = madeStore([
      { rotationDeg: 91 },
      { rotationDeg: null },
      { rotationDeg: 92 },
      { rotationDeg: 40 },
    ]);
    const { id } = onlyRig(store);
    const marks = allMarks(store, id);
    expect(marks.map((mark) => [mark.date, mark.kind, mark.text])).toEqual([
      ['2026-01-04', 'automatic', 'camera turned from 91 to 40 degrees'],
    ]);
    expect(listNotes(store, id)).toEqual([]);
    store.close();
  });

  it('a rotator at work gives no marks', () => {
    const store = madeStore(Array.from({ length: 12 }, (_, i) => ({ rotationDeg: (i * 47) % 180 })));
    expect(allMarks(store, onlyRig(store).id)).toEqual([]);
    store.close();
  });
});
