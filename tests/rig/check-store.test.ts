import { expect, it } from 'vitest';
import { checkStore, rebuildFigures } from '../../src/rig/check-store.js';
import { madeStore } from './made-history.js';

it('a sound history is sound; figures that are gone are noticed and worked out again', () => {
  const store = madeStore([{}, {}]);
  expect(checkStore(store)).toMatchObject({ sound: true, problems: [], nights: 2, frames: 6 });
  const before = store.db.prepare('SELECT * FROM figure').all();
  store.db.prepare('DELETE FROM figure').run();
  expect(checkStore(store)).toMatchObject({ sound: false });
  expect(checkStore(store).problems[0]).toMatch(/2 nights have no figures/);
  expect(rebuildFigures(store)).toBe(2);
  expect(store.db.prepare('SELECT * FROM figure').all()).toEqual(before);
  expect(checkStore(store).sound).toBe(true);
  store.close();
});

it('a reference to nothing is noticed', () => {
  const store = madeStore([{}]);
  store.db.pragma('foreign_keys = OFF');
  store.db.prepare("UPDATE frame SET nightId = 'gone'").run();
  expect(checkStore(store).problems.join(' ')).toMatch(
    /A frame refers to a night that is not there.*1 nights have no frames/,
  );
  store.close();
});
