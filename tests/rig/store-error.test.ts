import { expect, it } from 'vitest';
import { UsageError } from '../../src/errors.js';
import { StoreError, asStoreError } from '../../src/rig/store-error.js';

it('puts the codes of SQLite and of the system into words with the file and a remedy', () => {
  const withCode = (code: string) => Object.assign(new Error('x'), { code });
  for (const [code, words] of [
    ['SQLITE_FULL', 'disk is full'],
    ['SQLITE_BUSY_SNAPSHOT', 'in use'],
    ['SQLITE_READONLY_DBMOVED', 'may not be written'],
    ['SQLITE_CORRUPT_VTAB', 'damaged'],
    ['SQLITE_NOTADB', 'is not a rig history'],
    ['SQLITE_IOERR_WRITE', 'disk reports an error'],
    ['EACCES', 'may not be opened'],
    ['ENOSPC', 'disk is full'],
  ]) {
    const error = asStoreError(withCode(code), '/my/rigs.sqlite') as StoreError;
    expect(error).toBeInstanceOf(StoreError);
    expect(error.message).toContain('/my/rigs.sqlite');
    expect(error.message).toContain(words);
    expect(error.remedy).not.toBe('');
    expect(error.code).toBe('store');
  }
});

it('leaves everything else alone', () => {
  const usage = new UsageError('a', 'b');
  expect(asStoreError(usage, 'x')).toBe(usage);
  const bug = new RangeError('bug');
  expect(asStoreError(bug, 'x')).toBe(bug);
  expect(asStoreError(null, 'x')).toBeNull();
});
