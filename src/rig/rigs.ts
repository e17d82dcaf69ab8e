import { randomUUID } from 'node:crypto';
import { UsageError } from '../errors.js';
import { StoreError } from './store-error.js';
import type { RigStore } from './store.js';
import { allTrains } from './trains.js';
import type { Rig } from './types.js';

interface RigRow {
  readonly id: string;
  readonly name: string;
  readonly mergedInto: string | null;
}

/** Every rig that was not merged into another, those used last first, with its trains and counts. */
export function listRigs(store: RigStore): Rig[] {
  const owner = owners(store);
  const trains = allTrains(store);
  const nights = store.db
    .prepare(
      `SELECT n.trainKey, COALESCE(n.assignedRigId, t.rigId) AS rigId, n.date, (SELECT count(*) FROM frame f WHERE f.nightId = n.id) AS frames
       FROM night n JOIN train t ON t.key = n.trainKey ORDER BY n.date`,
    )
    .all() as { trainKey: string; rigId: string; date: string; frames: number }[];
  return rigRows(store)
    .filter((row) => owner(row.id) === row.id)
    .map((row) => {
      const own = nights.filter((night) => owner(night.rigId) === row.id);
      const keys = new Set(own.map((night) => night.trainKey));
      return {
        id: row.id,
        name: row.name,
        trains: trains
          .filter((train) => keys.has(train.key) || owner(train.rigId) === row.id)
          .map(({ rigId: _rigId, ...train }) => train),
        nights: new Set(own.map((night) => night.date)).size,
        frames: own.reduce((sum, night) => sum + night.frames, 0),
        firstNight: own[0]?.date ?? null,
        lastNight: own.at(-1)?.date ?? null,
      };
    })
    .sort((a, b) => (b.lastNight ?? '').localeCompare(a.lastNight ?? '') || a.id.localeCompare(b.id));
}

/**
 * The rig a user means by name (any case), id or the start of either; the only rig of the store when nothing is given.
 * Throws UsageError that lists the rigs when none or several fit.
 */
export function findRig(
  store: RigStore,
  wanted: string | undefined,
): { readonly id: string; readonly name: string } {
  const owner = owners(store);
  const rigs = rigRows(store).filter((row) => owner(row.id) === row.id);
  const names = rigs.map((rig) => `"${rig.name}" (${rig.id})`).join(', ');
  if (rigs.length === 0) {
    throw new StoreError(
      'the history holds no rig yet',
      'Record a night first: starassay cull NIGHT --record.',
      store.path,
    );
  }
  if (wanted === undefined) {
    if (rigs.length === 1) return rigs[0];
    throw new UsageError('the history holds several rigs', `Name one of ${names}.`);
  }
  const text = wanted.toLowerCase();
  const exact = rigs.filter((rig) => rig.name.toLowerCase() === text || rig.id === text);
  const fitting =
    exact.length > 0
      ? exact
      : rigs.filter((rig) => rig.name.toLowerCase().startsWith(text) || rig.id.startsWith(text));
  if (fitting.length === 1) return fitting[0];
  throw new UsageError(
    fitting.length === 0 ? `there is no rig called "${wanted}"` : `"${wanted}" fits several rigs`,
    `Name one of ${names}.`,
  );
}

/** Give a rig a name; a name another rig bears is refused (UsageError). */
export function nameRig(store: RigStore, rigId: string, name: string, now = new Date().toISOString()): void {
  const trimmed = name.trim();
  if (trimmed === '')
    throw new UsageError('a rig name may not be empty', 'Give a name such as "garden refractor".');
  store.transact(() => {
    const owner = owners(store);
    const taken = rigRows(store).some(
      (row) =>
        row.id !== rigId && owner(row.id) === row.id && row.name.toLowerCase() === trimmed.toLowerCase(),
    );
    if (taken)
      throw new UsageError(
        `another rig is called "${trimmed}"`,
        'Choose another name, or join the two with `starassay rig merge`.',
      );
    store.db.prepare('UPDATE rig SET name = ?, changedAt = ? WHERE id = ?').run(trimmed, now, rigId);
  });
}

/** Count the nights and notes of `otherId` with `rigId` from now on; nothing is lost: `splitRig` with `otherId` undoes it. */
export function mergeRigs(
  store: RigStore,
  rigId: string,
  otherId: string,
  now = new Date().toISOString(),
): void {
  if (rigId === otherId)
    throw new UsageError('a rig cannot be merged with itself', 'Name two different rigs.');
  store.transact(() => {
    store.db.prepare('UPDATE rig SET mergedInto = ?, changedAt = ? WHERE id = ?').run(rigId, now, otherId);
  });
}

/** Which nights a split takes out of a rig: those of a train, those of a time, or a rig merged into it. */
export interface SplitChoice {
  readonly trainKey?: string;
  readonly since?: string;
  readonly until?: string;
  readonly mergedRig?: string;
}

/**
 * Take nights out of a rig into a rig of their own and return its id and how many nights went.
 * With a train and no dates, its future nights go there too. UsageError when the choice is empty or fits no night.
 */
export function splitRig(
  store: RigStore,
  rigId: string,
  choice: SplitChoice,
  name: string,
  now = new Date().toISOString(),
): { readonly rigId: string; readonly nights: number } {
  return store.transact(() => {
    const owner = owners(store);
    if (choice.mergedRig !== undefined) return undoMerge(store, rigId, choice.mergedRig, now);
    const nights = (
      store.db
        .prepare(
          `SELECT n.id, n.trainKey, n.date, COALESCE(n.assignedRigId, t.rigId) AS rigId
           FROM night n JOIN train t ON t.key = n.trainKey`,
        )
        .all() as { id: string; trainKey: string; date: string; rigId: string }[]
    ).filter(
      (night) =>
        owner(night.rigId) === rigId &&
        (choice.trainKey === undefined || night.trainKey === choice.trainKey) &&
        (choice.since === undefined || night.date >= choice.since) &&
        (choice.until === undefined || night.date <= choice.until),
    );
    if (nights.length === 0) {
      throw new UsageError(
        'no night of this rig fits that choice',
        '`starassay rig list` shows the trains and dates.',
      );
    }
    const id = randomUUID().replaceAll('-', '').slice(0, 10);
    store.db.prepare('INSERT INTO rig (id, name, changedAt) VALUES (?, ?, ?)').run(id, name.trim(), now);
    if (choice.trainKey !== undefined && choice.since === undefined && choice.until === undefined) {
      store.db
        .prepare('UPDATE train SET rigId = ?, changedAt = ? WHERE key = ?')
        .run(id, now, choice.trainKey);
    }
    const assign = store.db.prepare('UPDATE night SET assignedRigId = ?, assignedAt = ? WHERE id = ?');
    for (const night of nights) assign.run(id, now, night.id);
    return { rigId: id, nights: nights.length };
  });
}

function undoMerge(store: RigStore, rigId: string, wanted: string, now: string) {
  const text = wanted.toLowerCase();
  const merged = rigRows(store).find(
    (row) => row.mergedInto === rigId && (row.id === text || row.name.toLowerCase() === text),
  );
  if (!merged) {
    throw new UsageError(
      `no rig called "${wanted}" was merged into this one`,
      '`starassay rig list` shows the rigs.',
    );
  }
  store.db.prepare('UPDATE rig SET mergedInto = NULL, changedAt = ? WHERE id = ?').run(now, merged.id);
  return { rigId: merged.id, nights: listRigs(store).find((rig) => rig.id === merged.id)?.nights ?? 0 };
}

/** The rig that stands for a rig id, through every merge. */
export function owners(store: RigStore): (rigId: string) => string {
  const mergedInto = new Map(rigRows(store).map((row) => [row.id, row.mergedInto]));
  return (rigId) => {
    const way = [rigId];
    for (let next = mergedInto.get(rigId); next && mergedInto.has(next); next = mergedInto.get(next)) {
      // Two computers may have merged the same two rigs in opposite directions: the smaller id then stands for both.
      if (way.includes(next)) return way.slice(way.indexOf(next)).sort()[0];
      way.push(next);
    }
    return way.at(-1) as string;
  };
}

function rigRows(store: RigStore): RigRow[] {
  return store.db.prepare('SELECT id, name, mergedInto FROM rig ORDER BY id').all() as RigRow[];
}
