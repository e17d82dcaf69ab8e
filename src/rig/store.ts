import Database from 'better-sqlite3';
import {
  accessSync,
  closeSync,
  constants,
  existsSync,
  mkdirSync,
  openSync,
  readFileSync,
  readSync,
  statSync,
} from 'node:fs';
import { dirname, resolve } from 'node:path';
import { backupStore } from './backup.js';
import { APPLICATION_ID, migrations } from './schema.js';
import { StoreError, asStoreError } from './store-error.js';

/** How long a command waits for another one, milliseconds. */
const WAIT_MS = 20_000;

/** An open history. Close it when done. */
export interface RigStore {
  readonly path: string;
  readonly db: Database.Database;
  /** True when the file may not be written: it is then read as it lies there. */
  readonly readonly: boolean;
  /** Run `work` as one transaction that waits for other commands: all of it or nothing is stored. */
  readonly transact: <T>(work: () => T) => T;
  readonly close: () => void;
}

export interface OpenStoreOptions {
  /** `read` refuses to make a new file, and makes do with one that may not be written. */
  readonly purpose?: 'read' | 'write';
  /** How long to wait for another command that writes, milliseconds. */
  readonly waitMs?: number;
  /** Schema steps, replaced in tests of migration only. */
  readonly steps?: readonly string[];
}

/**
 * Open the rig history, making it (and its folder) when it is not there; an older one is brought forward after a backup.
 *
 * Kept in SQLite's write-ahead log with full synchronisation: a kill or a power cut loses at most the night being recorded.
 * Throws StoreError for a file that is no history, is newer than this program, damaged, locked or may not be opened.
 */
export function openStore(path: string, options: OpenStoreOptions = {}): RigStore {
  const file = path === ':memory:' ? path : resolve(path);
  const steps = options.steps ?? migrations;
  let db: Database.Database | null = null;
  try {
    refuseWrongFile(file, options.purpose ?? 'write');
    const readonly = options.purpose === 'read' && !mayWrite(file);
    if (readonly) {
      db = openWithoutWriting(file);
      refuseForeignOrNewer(db, file, steps.length);
      if (versionOf(db) < steps.length) throw olderButLocked(file);
    } else {
      if (file !== ':memory:') mkdirSync(dirname(file), { recursive: true });
      db = new Database(file, { timeout: options.waitMs ?? WAIT_MS });
      refuseForeignOrNewer(db, file, steps.length);
      useWriteAheadLog(db, options.waitMs ?? WAIT_MS);
      bringForward(db, file, steps);
    }
    db.pragma('foreign_keys = ON');
    return wrap(db, file, readonly);
  } catch (error) {
    db?.close();
    throw asStoreError(error, file);
  }
}

function wrap(db: Database.Database, path: string, readonly: boolean): RigStore {
  return {
    path,
    db,
    readonly,
    transact: (work) => {
      try {
        return db.transaction(work).immediate();
      } catch (error) {
        throw asStoreError(error, path);
      }
    },
    close: () => db.close(),
  };
}

function refuseWrongFile(file: string, purpose: 'read' | 'write'): void {
  if (file === ':memory:') return;
  if (!existsSync(file)) {
    if (purpose === 'write') return;
    throw new StoreError(
      `there is no rig history at ${file} yet`,
      'Record a night first: starassay cull NIGHT --record, or name another file with --db.',
      file,
    );
  }
  if (statSync(file).isDirectory())
    throw new StoreError(`${file} is a folder`, 'Name a file with --db.', file);
  const start = firstBytes(file, 16);
  // A new file that nobody has written to yet is as good as none; but only recording may make a history of it.
  if (start === '' && purpose === 'read') throw notAHistory(file);
  if (start !== '' && start !== 'SQLite format 3\0') throw notAHistory(file);
}

function firstBytes(file: string, count: number): string {
  const handle = openSync(file, 'r');
  try {
    const bytes = Buffer.alloc(count);
    return bytes.toString('latin1', 0, readSync(handle, bytes, 0, count, 0));
  } finally {
    closeSync(handle);
  }
}

function refuseForeignOrNewer(db: Database.Database, file: string, latest: number): void {
  const application = db.pragma('application_id', { simple: true });
  const tables = db
    .prepare("SELECT count(*) FROM sqlite_schema WHERE type = 'table'")
    .pluck()
    .get() as number;
  // A file without tables was being made when its maker was killed: carry on with it.
  if (application !== APPLICATION_ID && tables > 0) throw notAHistory(file);
  if (versionOf(db) > latest) {
    throw new StoreError(
      `the rig history ${file} was written by a newer starassay (its layout is ${versionOf(db)}, this program knows ${latest})`,
      'Update starassay on this computer; the file was left as it is.',
      file,
    );
  }
}

function useWriteAheadLog(db: Database.Database, waitMs: number): void {
  const patience = Date.now() + waitMs;
  let settled = db.pragma('journal_mode', { simple: true }) === 'wal';
  while (!settled) {
    try {
      db.pragma('journal_mode = WAL');
      settled = true;
    } catch (error) {
      // Two commands that make the file at the same moment: SQLite refuses one at once, without the wait it was asked for
      // (either would wait for the other's lock for ever).
      if ((error as { code?: unknown }).code !== 'SQLITE_BUSY' || Date.now() > patience) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
    }
  }
  db.pragma('synchronous = FULL');
}

function bringForward(db: Database.Database, file: string, steps: readonly string[]): void {
  const version = versionOf(db);
  if (version === steps.length) return;
  if (version > 0 && file !== ':memory:') {
    const copy = `${file}.before-layout-${steps.length}`;
    // Left by an earlier try that did not get further: it holds the same state.
    if (!existsSync(copy)) backupStore({ path: file, db }, copy);
  }
  db.transaction(() => {
    // Another command may have been faster while this one waited for the lock.
    for (const step of steps.slice(versionOf(db))) db.exec(step);
    db.pragma(`application_id = ${APPLICATION_ID}`);
    db.pragma(`user_version = ${steps.length}`);
  }).immediate();
}

/** Read a file that lies where nothing may be written. */
function openWithoutWriting(file: string): Database.Database {
  if (existsSync(`${file}-wal`) && statSync(`${file}-wal`).size > 0) {
    return new Database(file, { readonly: true });
  }
  const bytes = readFileSync(file);
  // File format bytes 18 and 19: a write-ahead log would want to be written; the copy in memory needs none (sqlite.org/fileformat2).
  bytes.set([1, 1], 18);
  return new Database(bytes);
}

function mayWrite(file: string): boolean {
  if (file === ':memory:') return true;
  try {
    accessSync(file, constants.W_OK);
    accessSync(dirname(file), constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

function versionOf(db: Database.Database): number {
  return db.pragma('user_version', { simple: true }) as number;
}

function notAHistory(file: string): StoreError {
  return new StoreError(
    `${file} is not a rig history`,
    'Name the right file with --db; this one was left as it is.',
    file,
  );
}

function olderButLocked(file: string): StoreError {
  return new StoreError(
    `the rig history ${file} has an older layout and may not be written, so it cannot be brought forward`,
    'Make the file and its folder writable, or work on a copy.',
    file,
  );
}
