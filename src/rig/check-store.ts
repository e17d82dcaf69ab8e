import { refreshFigures } from './refresh-figures.js';
import type { RigStore } from './store.js';

/** What a check found. */
export interface StoreCheck {
  readonly sound: boolean;
  /** What is wrong, one sentence each; empty when sound. */
  readonly problems: readonly string[];
  readonly nights: number;
  readonly frames: number;
  readonly bytes: number;
}

/** Check a history: SQLite's integrity check, references between records, and that every night has its frames and figures. Only reads. */
export function checkStore(store: RigStore): StoreCheck {
  const { db } = store;
  const problems: string[] = [];
  for (const row of db.pragma('integrity_check') as { integrity_check: string }[]) {
    if (row.integrity_check !== 'ok') problems.push(`The file is damaged: ${row.integrity_check}.`);
  }
  if (problems.length === 0) {
    for (const { table, parent } of db.pragma('foreign_key_check') as { table: string; parent: string }[]) {
      problems.push(`A ${table} refers to a ${parent} that is not there.`);
    }
    const empty = count('SELECT count(*) FROM night WHERE id NOT IN (SELECT nightId FROM frame)');
    if (empty > 0) problems.push(`${empty} nights have no frames.`);
    const bare = count(
      'SELECT count(*) FROM (SELECT nightId FROM frame GROUP BY nightId HAVING count(*) >= 3) WHERE nightId NOT IN (SELECT nightId FROM figure)',
    );
    if (bare > 0)
      problems.push(
        `${bare} nights have no figures: \`starassay rig check --rebuild\` works them out again.`,
      );
  }
  return {
    sound: problems.length === 0,
    problems,
    nights: count('SELECT count(*) FROM night'),
    frames: count('SELECT count(*) FROM frame'),
    bytes:
      (db.pragma('page_count', { simple: true }) as number) *
      (db.pragma('page_size', { simple: true }) as number),
  };

  function count(sql: string): number {
    return db.prepare(sql).pluck().get() as number;
  }
}

/** Work out every night's figures anew from its frames (after an update that brought new figures); returns how many nights. */
export function rebuildFigures(store: RigStore): number {
  return store.transact(() => {
    const nights = store.db.prepare('SELECT id FROM night').pluck().all() as string[];
    refreshFigures(store, nights);
    return nights.length;
  });
}
