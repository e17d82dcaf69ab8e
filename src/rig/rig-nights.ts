import { owners } from './rigs.js';
import type { RigStore } from './store.js';

/** A night of a rig, by date. */
export interface RigNight {
  readonly id: string;
  readonly date: string;
  readonly trainKey: string;
}

/** The nights of a rig in order of date, those of merged rigs included; since and until (YYYY-MM-DD) both count. */
export function rigNights(
  store: RigStore,
  rigId: string,
  range: { readonly since?: string | null; readonly until?: string | null } = {},
): RigNight[] {
  const owner = owners(store);
  const rows = store.db
    .prepare(
      `SELECT n.id, n.date, n.trainKey, COALESCE(n.assignedRigId, t.rigId) AS rigId
       FROM night n JOIN train t ON t.key = n.trainKey ORDER BY n.date, n.id`,
    )
    .all() as (RigNight & { rigId: string })[];
  return rows
    .filter(
      (night) =>
        owner(night.rigId) === rigId &&
        (!range.since || night.date >= range.since) &&
        (!range.until || night.date <= range.until),
    )
    .map(({ id, date, trainKey }) => ({ id, date, trainKey }));
}
