import type Database from 'better-sqlite3';
import { existsSync, renameSync, rmSync } from 'node:fs';
import { StoreError, asStoreError } from './store-error.js';

/**
 * Write a complete, compact copy of the history to `target`, while other commands may go on recording.
 *
 * The copy appears under its name only when it is whole. Throws StoreError when `target` exists (nothing is overwritten) or
 * cannot be written. SQLite, VACUUM INTO.
 */
export function backupStore(
  store: { readonly path: string; readonly db: Database.Database },
  target: string,
): void {
  if (existsSync(target)) {
    throw new StoreError(
      `${target} exists already`,
      'Name a file that does not exist yet, or move the old copy away.',
      target,
    );
  }
  const unfinished = `${target}.unfinished`;
  try {
    rmSync(unfinished, { force: true });
    store.db.prepare('VACUUM INTO ?').run(unfinished);
    renameSync(unfinished, target);
  } catch (error) {
    rmSync(unfinished, { force: true });
    throw asStoreError(error, target);
  }
}
