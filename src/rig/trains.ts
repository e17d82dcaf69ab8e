import type { RigStore } from './store.js';
import { rigIdOf, sameOptics, sameTrain, trainName, withKey } from './train.js';
import type { Train } from './types.js';

/** Every train of the store with the rig it belongs to (before merging). */
export function allTrains(store: RigStore): (Train & { readonly rigId: string })[] {
  return store.db
    .prepare(
      'SELECT key, rigId, camera, telescope, focalLengthMm, pixelMicron, rotationDeg FROM train ORDER BY key',
    )
    .all() as (Train & { rigId: string })[];
}

/** The id that the nights of this train are filed under: made from the headers, never changed by naming, merging or splitting. */
export function foundingRigId(trainKey: string): string {
  return trainKey.slice(0, trainKey.lastIndexOf('@'));
}

/**
 * The stored train that a night's train is (same optics, same camera angle), or a new one beside it, with a new rig when the
 * optics are new too. Inside a transaction of the caller.
 */
export function findOrAddTrain(
  store: RigStore,
  train: Train,
): { readonly train: Train; readonly foundingRigId: string } {
  const trains = allTrains(store);
  // A night without a known angle says nothing about the camera having been turned: it joins what is there.
  const same =
    trains.find((known) => known.rotationDeg !== null && sameTrain(known, train)) ??
    trains.find((known) => known.rotationDeg === train.rotationDeg && sameTrain(known, train));
  if (same) return { train: same, foundingRigId: foundingRigId(same.key) };
  const kin = trains.find((known) => sameOptics(known, train));
  const founding = kin ? foundingRigId(kin.key) : rigIdOf(train);
  const keyed = withKey(train, founding);
  store.db
    .prepare('INSERT INTO rig (id, name, changedAt) VALUES (?, ?, ?) ON CONFLICT DO NOTHING')
    // A name nobody chose gives way to any that somebody did.
    .run(founding, trainName(train), '');
  store.db
    .prepare(
      `INSERT INTO train (key, rigId, camera, telescope, focalLengthMm, pixelMicron, rotationDeg, changedAt)
       VALUES (@key, @rigId, @camera, @telescope, @focalLengthMm, @pixelMicron, @rotationDeg, @changedAt)`,
    )
    .run({ ...keyed, rigId: founding, changedAt: '' });
  return { train: keyed, foundingRigId: founding };
}
