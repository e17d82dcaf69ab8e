import { appendFileSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import {
  journalName,
  openJournal,
  readJournal,
  syncFolder,
  type JournalEntry,
} from '../../src/night/move-journal.js';

let folder: string;
const entry = (to: string, step: JournalEntry['step']): JournalEntry => ({
  schema: 'starassay/moves@1',
  step,
  from: `/night/${to}`,
  fromRelative: `../${to}`,
  to,
  folder,
  bytes: 1,
  at: '2026-01-01T00:00:00.000Z',
});
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-journal-'));
});

describe('the journal of moves', () => {
  it('gives back the last line of each file', async () => {
    const journal = await openJournal(folder);
    await journal.write(entry('a.fits', 'begin'));
    await journal.write(entry('b.fits', 'begin'));
    await journal.write(entry('a.fits', 'done'));
    await journal.close();
    const state = await readJournal(folder);
    expect([...state!].map(([file, last]) => [file, last.step])).toEqual([
      ['a.fits', 'done'],
      ['b.fits', 'begin'],
    ]);
  });

  it('outlives a torn last line, and does not let it swallow the next', async () => {
    const path = join(folder, journalName);
    writeFileSync(path, `${JSON.stringify(entry('a.fits', 'done'))}\n{"schema":"starassay/mo`);
    expect((await readJournal(folder))!.size).toBe(1);
    const journal = await openJournal(folder);
    await journal.write(entry('b.fits', 'begin'));
    await journal.close();
    expect((await readJournal(folder))!.get('b.fits')?.step).toBe('begin');
    expect(readFileSync(path, 'utf8').split('\n')).toHaveLength(4);
  });

  it('refuses lines of a newer version, and lines that would reach outside the folder', async () => {
    const path = join(folder, journalName);
    const hostile = [
      { ...entry('a.fits', 'done'), schema: 'starassay/moves@2' },
      { ...entry('../a.fits', 'done') },
      { ...entry('/etc/a.fits', 'done') },
      { ...entry('a.fits', 'done'), from: '/home/x/.profile' },
    ];
    for (const line of hostile) {
      writeFileSync(path, '');
      appendFileSync(path, `${JSON.stringify(line)}\n`);
      await expect(readJournal(folder)).rejects.toThrow(/cannot read/);
    }
  });

  it('is null where there is none', async () => {
    expect(await readJournal(folder)).toBeNull();
  });
});

it('syncFolder does not mind a folder that is not there', async () => {
  await expect(syncFolder(join(folder, 'none'))).resolves.toBeUndefined();
});
