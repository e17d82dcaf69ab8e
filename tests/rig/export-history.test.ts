import { expect, it } from 'vitest';
import { EXPORT_SCHEMA, exportJsonLines } from '../../src/rig/export-history.js';
import { addNote } from '../../src/rig/notes.js';
import { madeStore, onlyRig } from './made-history.js';

it('one record a line, the schema first, figures left out, the same every time', () => {
  const store = madeStore([{}, {}]);
  addNote(store, onlyRig(store).id, { date: '2026-01-02', text: 'collimated\nand cleaned' });
  const lines = [...exportJsonLines(store)];
  expect(JSON.parse(lines[0])).toMatchObject({ schema: EXPORT_SCHEMA });
  const kinds = lines.slice(1).map((line) => (JSON.parse(line) as { type: string }).type);
  expect(kinds).toEqual(['rig', 'train', 'night', 'night', ...Array(6).fill('frame'), 'note']);
  expect(lines.every((line) => !line.includes('\n'))).toBe(true);
  expect([...exportJsonLines(store)]).toEqual(lines);
  store.close();
});
