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
  const problems: string[] = [];
  const counts = { nights: 0, frames: 0, bytes: 0 };
  try {
    look(store, problems, counts);
  } catch (error) {
    // A page so broken that even looking at it fails.
    problems.push(`The file is damaged: ${(error as Error).message}.`);
  }
  return { sound: problems.length === 0, problems, ...counts };
}

function look(
  { db }: RigStore,
  problems: string[],
  counts: { nights: number; frames: number; bytes: number },
): void {
  const count = (sql: string) => db.prepare(sql).pluck().get() as number;
  const page = (name: string) => db.pragma(name, { simple: true }) as number;
  counts.bytes = page('page_count') * page('page_size');
  for (const row of db.pragma('integrity_check') as { integrity_check: string }[]) {
    if (row.integrity_check !== 'ok') problems.push(`The file is damaged: ${row.integrity_check}.`);
  }
  if (problems.length > 0) return;
  counts.nights = count('SELECT count(*) FROM night');
  counts.frames = count('SELECT count(*) FROM frame');
  for (const { table, parent } of db.pragma('foreign_key_check') as { table: string; parent: string }[]) {
    problems.push(`A ${table} refers to a ${parent} that is not there.`);
  }
  const empty = count('SELECT count(*) FROM night WHERE id NOT IN (SELECT nightId FROM frame)');
  if (empty > 0) problems.push(`${empty} nights have no frames.`);
  const bare = count(
    'SELECT count(*) FROM (SELECT nightId FROM frame GROUP BY nightId HAVING count(*) >= 3) WHERE nightId NOT IN (SELECT nightId FROM figure)',
  );
  if (bare > 0) {
    problems.push(`${bare} nights have no figures: \`starassay rig check --rebuild\` works them out again.`);
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
