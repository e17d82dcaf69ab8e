import { expect, it } from 'vitest';
import { metrics } from '../../src/rig/metrics.js';
import { frameColumns } from '../../src/rig/schema.js';
import { frameRows, nightRows } from '../../src/rig/table-rows.js';
import { madeStore } from './made-history.js';

it('tables of nights and of frames: titles first, as many cells in every row', () => {
  const store = madeStore([{ tiltMicron: 12 }, { tiltMicron: null }]);
  const nights = [...nightRows(store)];
  expect(nights).toHaveLength(3);
  expect(nights.every((row) => row.length === 3 + 2 * metrics.length)).toBe(true);
  const tilt = nights[0].indexOf('tilt');
  expect(nights.map((row) => row[tilt])).toEqual(['tilt', 12, null]);
  const frames = [...frameRows(store)];
  expect(frames).toHaveLength(7);
  expect(frames.every((row) => row.length === 2 + Object.keys(frameColumns).length)).toBe(true);
  store.close();
});
