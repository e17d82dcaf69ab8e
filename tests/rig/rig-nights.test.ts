import { expect, it } from 'vitest';
import { rigNights } from '../../src/rig/rig-nights.js';
import { madeStore, onlyRig } from './made-history.js';

it('nights of a rig by date, both ends of a range counted', () => {
  const store = madeStore([{}, {}, {}, {}]);
  const { id } = onlyRig(store);
  expect(rigNights(store, id).map((night) => night.date)).toEqual([
    '2026-01-01',
    '2026-01-02',
    '2026-01-03',
    '2026-01-04',
  ]);
  expect(rigNights(store, id, { since: '2026-01-02', until: '2026-01-03' })).toHaveLength(2);
  expect(rigNights(store, id, { since: null, until: null })).toHaveLength(4);
  expect(rigNights(store, 'no such rig')).toEqual([]);
  store.close();
});
