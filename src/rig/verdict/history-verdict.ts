import type { HistoryVerdict } from '../../causes/types.js';
import type { RecordableNight, RigHistory } from '../types.js';
import { judgeByHistory } from './judge-by-history.js';
import { spacingByHistory } from './spacing-by-history.js';

/** What the rig's history says of a finished night. A night without frames or a history without a normal figure: nothing unusual. */
export function historyVerdict(night: RecordableNight, history: RigHistory): HistoryVerdict {
  const { normals, sensitivity } = history;
  return {
    rig: normals.rigName,
    nights: Math.max(0, ...Object.values(normals.figures).map((figure) => figure.nights)),
    unusual: judgeByHistory(night, normals),
    spacing: sensitivity === null ? null : spacingByHistory(night.optics, sensitivity),
  };
}
