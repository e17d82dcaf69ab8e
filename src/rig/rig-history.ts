import type { FrameAssessment } from '../field/types.js';
import { nightDates } from './night-date.js';
import { rigNormals } from './normals.js';
import { findRig, owners } from './rigs.js';
import { spacingSensitivity } from './spacing-sensitivity.js';
import type { RigStore } from './store.js';
import { sameOptics, trainOfFrame } from './train.js';
import { allTrains } from './trains.js';
import type { RigHistory } from './types.js';

/** The rig that frames belong to, if the history knows it; the store is only read. */
export function rigOfFrames(
  store: RigStore,
  frames: readonly Pick<FrameAssessment, 'header' | 'scale' | 'orientation'>[],
): { readonly id: string; readonly name: string } | null {
  if (frames.length === 0) return null;
  const train = trainOfFrame(frames[0]);
  const known = allTrains(store).filter((candidate) => sameOptics(candidate, train));
  return known.length === 0 ? null : findRig(store, owners(store)(known[known.length - 1].rigId));
}

/**
 * What the history knows of the rig that took these frames, the nights of these very frames left out: no night is its own yardstick.
 * Null for a rig it does not know, or about which it can say nothing yet.
 */
export function rigHistory(store: RigStore, frames: readonly FrameAssessment[]): RigHistory | null {
  const rig = rigOfFrames(store, frames);
  if (rig === null) return null;
  const own = new Set(nightDates(frames.map(({ header }) => header)).filter((date) => date !== null));
  const normals = rigNormals(store, rig, own);
  const sensitivity = spacingSensitivity(store, rig.id);
  return Object.keys(normals.figures).length === 0 && sensitivity === null ? null : { normals, sensitivity };
}
