import { version } from '../package-root.js';
import type { RigStore } from './store.js';

/** Schema name in the first line of an export. */
export const EXPORT_SCHEMA = 'starassay/rig-history@1';

/** Tables of an export in the order in which they can be read back; `figure` is worked out anew from the frames. */
export const exportedTables = ['rig', 'train', 'night', 'frame', 'note', 'sensitivity'] as const;

/** The whole history as JSON Lines: a first line with the schema, then one record a line with its `type`. Yields lines without line ends, in a fixed order. */
export function* exportJsonLines(store: RigStore): Generator<string> {
  yield JSON.stringify({ schema: EXPORT_SCHEMA, version });
  for (const table of exportedTables) {
    // WITHOUT ROWID tables come in the order of their key.
    for (const row of store.db.prepare(`SELECT * FROM ${table}`).iterate()) {
      yield JSON.stringify({ type: table, ...(row as object) });
    }
  }
}
