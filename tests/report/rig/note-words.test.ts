import { expect, it } from 'vitest';
import { noteWords } from '../../../src/report/rig/note-words.js';

const note = { id: 'a', number: 1, date: '2025-12-30', text: 'camera shimmed', spacingMm: null } as const;

it('a step is after a note only when the note is no later', () => {
  expect(noteWords({ ...note, kind: 'logged' }, '2026-01-02')).toBe('after note 1, “camera shimmed”');
  expect(noteWords({ ...note, kind: 'logged' }, '2025-12-30')).toBe('after note 1, “camera shimmed”');
  expect(noteWords({ ...note, kind: 'logged' }, '2025-12-27')).toBe(
    'about when note 1 was written (2025-12-30), “camera shimmed”',
  );
});

it('a turn seen in the headers has no number', () => {
  expect(noteWords({ ...note, kind: 'automatic' }, '2026-01-02')).toBe('after “camera shimmed”');
  expect(noteWords({ ...note, kind: 'automatic' }, '2025-12-27')).toBe(
    'about the time of “camera shimmed” (2025-12-30)',
  );
});
