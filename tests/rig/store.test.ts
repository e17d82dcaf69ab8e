import Database from 'better-sqlite3';
import { spawn, spawnSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  writeFileSync,
  statSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { checkStore } from '../../src/rig/check-store.js';
import { recordNight } from '../../src/rig/record-night.js';
import { migrations } from '../../src/rig/schema.js';
import { openStore } from '../../src/rig/store.js';
import { compileForChildren } from './compiled.js';
import { madeNight } from './made-history.js';

let folder: string;
let db: string;
let compiled: ReturnType<typeof compileForChildren>;
const folders: string[] = [];

beforeAll(() => {
  compiled = compileForChildren();
});
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-store-'));
  folders.push(folder);
  db = join(folder, 'rigs.sqlite');
});
afterAll(() => {
  compiled.cleanUp();
  for (const one of folders) rmSync(one, { recursive: true, force: true });
});

const frames = (path: string) => {
  const store = openStore(path);
  const count = store.db.prepare('SELECT count(*) FROM frame').pluck().get() as number;
  store.close();
  return count;
};

describe('opening a history', () => {
  it('makes file and folder, and is the same when opened again', () => {
    const deep = join(folder, 'a/b/rigs.sqlite');
    const store = openStore(deep);
    expect(store.db.pragma('journal_mode', { simple: true })).toBe('wal');
    recordNight(store, madeNight('2026-03-01'));
    store.close();
    expect(frames(deep)).toBe(5);
    // Nothing is left beside the file after a proper end.
    expect(readdirSync(join(folder, 'a/b'))).toEqual(['rigs.sqlite']);
  });

  it('does not make one just to read it', () => {
    expect(() => openStore(db, { purpose: 'read' })).toThrow(/no rig history .* yet/);
    expect(existsSync(db)).toBe(false);
  });

  it('refuses other files and leaves them as they are', () => {
    writeFileSync(db, 'SIMPLE  =                    T'.padEnd(2880));
    expect(() => openStore(db)).toThrow(/is not a rig history/);
    expect(readFileSync(db, 'latin1')).toContain('SIMPLE');
    const foreign = join(folder, 'foreign.sqlite');
    const other = new Database(foreign);
    other.exec('CREATE TABLE recipe (name TEXT)');
    other.close();
    const before = readFileSync(foreign);
    expect(() => openStore(foreign)).toThrow(/is not a rig history/);
    expect(readFileSync(foreign).equals(before)).toBe(true);
    expect(() => openStore(folder)).toThrow(/is a folder/);
  });

  it('takes an empty file for a new one, when recording', () => {
    writeFileSync(db, '');
    expect(() => openStore(db, { purpose: 'read' })).toThrow(/is not a rig history/);
    expect(statSync(db).size).toBe(0);
    expect(frames(db)).toBe(0);
  });

  it('refuses a newer layout with words', () => {
    const store = openStore(db);
    store.db.pragma('user_version = 99');
    store.close();
    expect(() => openStore(db)).toThrow(/newer starassay/);
  });

  it('says when a file is damaged', () => {
    const store = openStore(db);
    for (const day of ['01', '02', '03']) recordNight(store, madeNight(`2026-03-${day}`, { frames: 60 }));
    store.close();
    const bytes = readFileSync(db);
    bytes.fill(0xa5, 8192, bytes.length - 4096);
    writeFileSync(db, bytes);
    let problem: string;
    try {
      const damaged = openStore(db);
      problem = checkStore(damaged).problems.join(' ');
      damaged.close();
    } catch (error) {
      problem = (error as Error).message;
    }
    expect(problem).toMatch(/damaged/);
  });
});

describe('bringing an older history forward', () => {
  it('keeps what it holds, and a backup of the file before', () => {
    const store = openStore(db);
    recordNight(store, madeNight('2026-03-01'));
    store.close();
    const steps = [...migrations, 'ALTER TABLE note ADD COLUMN colour TEXT'];
    const newer = openStore(db, { steps });
    expect(newer.db.prepare('SELECT count(*) FROM frame').pluck().get()).toBe(5);
    expect(newer.db.pragma('user_version', { simple: true })).toBe(steps.length);
    newer.close();
    const backup = `${db}.before-layout-${steps.length}`;
    expect(frames(backup)).toBe(5);
    expect(() => openStore(db)).toThrow(/newer starassay/);
  });

  it('a step that fails changes nothing', () => {
    openStore(db).close();
    expect(() =>
      openStore(db, { steps: [...migrations, 'CREATE TABLE half (a); SELECT nonsense'] }),
    ).toThrow();
    const store = openStore(db);
    expect(store.db.prepare("SELECT count(*) FROM sqlite_schema WHERE name = 'half'").pluck().get()).toBe(0);
    store.close();
  });
});

describe('a history under fire', () => {
  it('killed at any moment: sound, every stored night whole', async () => {
    let last = '2025-12-31';
    for (const wait of [0, 9, 35]) {
      const first = new Date(Date.parse(`${last}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
      const said = await killedAfter(['child.mjs', db, first, '400', '40'], wait);
      const store = openStore(db);
      expect(checkStore(store)).toMatchObject({ sound: true, problems: [] });
      const nights = store.db
        .prepare(
          'SELECT n.date, count(*) AS frames FROM night n JOIN frame f ON f.nightId = n.id GROUP BY n.id ORDER BY n.date',
        )
        .all() as { date: string; frames: number }[];
      expect(nights.map((night) => night.date)).toEqual(expect.arrayContaining(said));
      expect(new Set(nights.map((night) => night.frames))).toEqual(new Set([40]));
      last = nights.at(-1)!.date;
      store.close();
    }
  }, 60_000);

  it('two commands at once lose nothing', async () => {
    const results = await Promise.all([
      finished(['child.mjs', db, '2026-01-01', '12', '30']),
      finished(['child.mjs', db, '2026-02-01', '12', '30']),
    ]);
    for (const result of results) expect(result).not.toMatch(/error/);
    const store = openStore(db);
    expect(checkStore(store)).toMatchObject({ sound: true, nights: 24, frames: 720 });
    store.close();
  }, 60_000);

  it('a disk that is full: said so, and what was stored before stays', () => {
    const store = openStore(db);
    recordNight(store, madeNight('2026-03-01'));
    const pages = store.db.pragma('page_count', { simple: true }) as number;
    store.db.pragma(`max_page_count = ${pages + 2}`);
    expect(() => recordNight(store, madeNight('2026-03-02', { frames: 200 }))).toThrow(/the disk is full/);
    expect(checkStore(store)).toMatchObject({ sound: true, nights: 1, frames: 5 });
    store.db.pragma('max_page_count = 1000000');
    expect(recordNight(store, madeNight('2026-03-02', { frames: 200 })).added).toBe(200);
    store.close();
  });

  it('another command that never ends: said so after the wait', () => {
    const store = openStore(db);
    const other = openStore(db, { waitMs: 50 });
    store.db.exec('BEGIN IMMEDIATE');
    expect(() => recordNight(other, madeNight('2026-03-01'))).toThrow(/in use by another command/);
    store.db.exec('ROLLBACK');
    expect(recordNight(other, madeNight('2026-03-01')).added).toBe(5);
    other.close();
    store.close();
  });

  // Root may write anywhere: the child then runs as the nobody of most systems.
  const nobody = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {};
  const canBeNobody =
    process.platform !== 'win32' &&
    spawnSync(process.execPath, ['-e', ''], { ...nobody }).status === 0 &&
    spawnSync(
      process.execPath,
      ['-e', 'require("fs").readFileSync(process.argv[1])', import.meta.filename],
      nobody,
    ).status === 0;

  it.skipIf(!canBeNobody)(
    'a file that may not be written can be read, and recording says why it cannot (skipped where no lesser user can be taken)',
    () => {
      const store = openStore(db);
      recordNight(store, madeNight('2026-03-01'));
      store.close();
      chmodSync(db, 0o444);
      chmodSync(folder, 0o555);
      const as = (args: string[]) =>
        spawnSync(process.execPath, [join(compiled.folder, 'child.mjs'), ...args], {
          encoding: 'utf8',
          ...nobody,
        }).stdout;
      try {
        expect(as([db, 'read'])).toBe('readonly 5\n');
        expect(as([db, '2026-03-02', '1', '5'])).toMatch(
          /error store .*(may not be written|cannot be opened)/,
        );
        expect(as([join(folder, 'new.sqlite'), '2026-03-02', '1', '5'])).toMatch(
          /error store .*(may not|cannot be opened)/,
        );
      } finally {
        chmodSync(folder, 0o755);
      }
      expect(frames(db)).toBe(5);
    },
  );
});

/** Dates that the child said were stored before it was killed, `wait` milliseconds after its first night. */
function killedAfter(args: string[], wait: number): Promise<string[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, { cwd: compiled.folder });
    let said = '';
    child.stdout.on('data', (chunk: Buffer) => {
      if (said === '') setTimeout(() => child.kill('SIGKILL'), wait);
      said += chunk.toString();
    });
    child.on('error', reject);
    child.on('close', () => {
      const lines = said.split('\n').slice(0, -1);
      if (lines.some((line) => line.startsWith('error'))) reject(new Error(said));
      else resolve(lines.map((line) => line.replace('stored ', '')));
    });
  });
}

function finished(args: string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, { cwd: compiled.folder });
    let said = '';
    child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
    child.on('error', reject);
    child.on('close', () => resolve(said));
  });
}
