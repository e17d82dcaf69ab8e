import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { backupStore } from '../../src/rig/backup.js';
import { recordNight } from '../../src/rig/record-night.js';
import { openStore } from '../../src/rig/store.js';
import { madeNight } from './made-history.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-backup-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it('writes a complete copy while the history is open, and overwrites nothing', () => {
  const store = openStore(join(folder, 'rigs.sqlite'));
  recordNight(store, madeNight('2026-03-01'));
  const target = join(folder, 'copy.sqlite');
  backupStore(store, target);
  expect(() => backupStore(store, target)).toThrow(/exists already/);
  recordNight(store, madeNight('2026-03-02'));
  store.close();
  const copy = openStore(target);
  expect(copy.db.prepare('SELECT count(*) FROM night').pluck().get()).toBe(1);
  copy.close();
});

it('a copy that could not be finished is not there, and an unfinished one of a killed command does not matter', () => {
  const store = openStore(join(folder, 'rigs.sqlite'));
  expect(() => backupStore(store, join(folder, 'missing/copy.sqlite'))).toThrow(/cannot be opened/);
  writeFileSync(join(folder, 'copy.sqlite.unfinished'), 'half a copy');
  backupStore(store, join(folder, 'copy.sqlite'));
  store.close();
  expect(existsSync(join(folder, 'copy.sqlite'))).toBe(true);
  expect(readdirSync(folder).filter((name) => name.includes('unfinished'))).toEqual([]);
});
