export { backupStore } from './backup.js';
export { checkStore, rebuildFigures, type StoreCheck } from './check-store.js';
export { exportJsonLines } from './export-history.js';
export { frameIdentity } from './frame-identity.js';
export { importJsonLines, type Imported } from './import-history.js';
export {
  historyLimits,
  judgeByHistory,
  rigOfFrames,
  type AgainstHistory,
  type HistoryLimits,
} from './judge-by-history.js';
export { metricOf, metrics, type Metric } from './metrics.js';
export { rigNormals } from './normals.js';
export { addNote, findNote, listNotes, removeNote } from './notes.js';
export { recordNight, type Recorded } from './record-night.js';
export { rangesAroundNote, rigCompare, type DateRange } from './rig-compare.js';
export { rigStatus } from './rig-status.js';
export { rigTrends } from './rig-trends.js';
export { findRig, listRigs, mergeRigs, nameRig, splitRig } from './rigs.js';
export { recordSpacingSensitivity, spacingSensitivity } from './spacing-sensitivity.js';
export { StoreError, asStoreError } from './store-error.js';
export { defaultStorePath } from './store-path.js';
export { openStore, type RigStore } from './store.js';
export { frameRows, nightRows } from './table-rows.js';
export type * from './types.js';
