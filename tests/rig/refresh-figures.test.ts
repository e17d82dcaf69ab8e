import { expect, it } from 'vitest';
import { refreshFigures } from '../../src/rig/refresh-figures.js';
import { madeStore } from './made-history.js';

it('figures follow the frames; a night left without frames goes', () => {
  const store = madeStore([{ frames: 5 }, { frames: 5 }]);
  const count = (sql: string) => store.db.prepare(sql).pluck().get() as number;
  const nights = store.db.prepare('SELECT id FROM night ORDER BY id').pluck().all() as string[];
  const before = count('SELECT count(*) FROM figure');
  store.transact(() => {
    store.db.prepare('DELETE FROM figure').run();
    refreshFigures(store, nights);
  });
  expect(count('SELECT count(*) FROM figure')).toBe(before);
  // Figures for all filters together and for the one filter used.
  expect(store.db.prepare('SELECT DISTINCT filter FROM figure ORDER BY filter').pluck().all()).toEqual([
    '',
    'L',
  ]);
  store.transact(() => {
    store.db.prepare('DELETE FROM frame WHERE nightId = ?').run(nights[0]);
    refreshFigures(store, nights);
  });
  expect(store.db.prepare('SELECT id FROM night').pluck().all()).toEqual([nights[1]]);
  store.close();
});
