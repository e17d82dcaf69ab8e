import { StarassayError } from '../errors.js';

/** Something is wrong with the history file. */
export class StoreError extends StarassayError {
  constructor(message: string, remedy: string, file: string | null = null) {
    super('store', message, remedy, file);
  }
}

/** What SQLite's result codes (sqlite.org/rescode.html) mean for the user; matched from the start of the code. */
const MEANINGS: readonly (readonly [code: string, problem: string, remedy: string])[] = [
  [
    'SQLITE_FULL',
    'cannot grow: the disk is full',
    'Free some space and run the command again; what was recorded before is safe, and nothing was stored by halves.',
  ],
  [
    'SQLITE_READONLY',
    'may not be written',
    'Make the file and its folder writable, or name another file with --db.',
  ],
  [
    'SQLITE_BUSY',
    'is in use by another command that does not finish',
    'Wait for the other command, or end it, and run this one again.',
  ],
  [
    'SQLITE_LOCKED',
    'is in use by another command that does not finish',
    'Wait for the other command, or end it, and run this one again.',
  ],
  [
    'SQLITE_CANTOPEN',
    'cannot be opened',
    'Look whether the folder exists and may be written, or name another file with --db.',
  ],
  ['SQLITE_NOTADB', 'is not a rig history', 'Name the right file with --db; this one was left as it is.'],
  [
    'SQLITE_CORRUPT',
    'is damaged',
    'Restore a copy made with `starassay rig backup`, or save what can be read with `starassay rig export`.',
  ],
  [
    'SQLITE_IOERR',
    'cannot be read or written: the disk reports an error',
    'Look at the disk, its free space and its cable; what was recorded before is safe unless the disk lost it.',
  ],
];

/** A failure of the database in words; anything that is not one is returned as it is. */
export function asStoreError(error: unknown, path: string): unknown {
  if (error instanceof StarassayError) return error;
  const code = (error as { code?: unknown } | null)?.code;
  if (typeof code !== 'string') return error;
  const meaning = MEANINGS.find(([start]) => code.startsWith(start));
  if (meaning) return new StoreError(`the rig history ${path} ${meaning[1]} (${code})`, meaning[2], path);
  const system: Record<string, string> = {
    EACCES: 'may not be opened',
    EPERM: 'may not be opened',
    EROFS: 'lies on a disk that may not be written',
    ENOSPC: 'cannot be made: the disk is full',
    EISDIR: 'is a folder',
    ENOTDIR: 'lies in something that is not a folder',
  };
  return system[code]
    ? new StoreError(
        `the rig history ${path} ${system[code]} (${code})`,
        'Name another file with --db, or mend the folder.',
        path,
      )
    : error;
}
