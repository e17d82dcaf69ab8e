import { describe, expect, it } from 'vitest';
import { addNote } from '../../src/rig/notes.js';
import { recordSpacingSensitivity, spacingSensitivity } from '../../src/rig/spacing-sensitivity.js';
import { madeStore, onlyRig, wobble } from './made-history.js';

const curved = (from: number, to: number) => [
  ...wobble(10).map((v) => ({ curvatureMicron: from + v })),
  ...wobble(10).map((v) => ({ curvatureMicron: to + v })),
];

describe('curvature per mm of spacing', () => {
  it('is learnt from a noted spacer', () => {
    const store = madeStore(curved(-30, 0));
    const { id } = onlyRig(store);
    addNote(store, id, { date: '2026-01-11', text: 'spacer', spacingMm: 0.5 });
    const found = spacingSensitivity(store, id)!;
    expect(found.source).toBe('notes');
    expect(found.micronPerMm).toBeCloseTo(60, 0);
    expect(found.error!).toBeLessThan(5);
    store.close();
  });

  it('a ladder counts for more, the latest most', () => {
    const store = madeStore(curved(-30, 0));
    const { id } = onlyRig(store);
    addNote(store, id, { date: '2026-01-11', text: 'spacer', spacingMm: 0.5 });
    recordSpacingSensitivity(store, id, { micronPerMm: 55, error: 2 }, '2026-02-01T00:00:00.000Z');
    recordSpacingSensitivity(store, id, { micronPerMm: 58, error: null }, '2026-03-01T00:00:00.000Z');
    expect(spacingSensitivity(store, id)).toEqual({
      micronPerMm: 58,
      error: null,
      measuredAt: '2026-03-01T00:00:00.000Z',
      source: 'ladder',
    });
    store.close();
  });

  it('says nothing when nothing moved or nothing was noted', () => {
    const store = madeStore(curved(-30, -30));
    const { id } = onlyRig(store);
    expect(spacingSensitivity(store, id)).toBeNull();
    addNote(store, id, { date: '2026-01-11', text: 'spacer', spacingMm: 0.5 });
    expect(spacingSensitivity(store, id)).toBeNull();
    store.close();
  });
});
