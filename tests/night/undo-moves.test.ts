import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { UsageError } from '../../src/errors.js';
import { journalName } from '../../src/night/move-journal.js';
import { carryOutMoves, planMoves } from '../../src/night/moves.js';
import { undoMoves } from '../../src/night/undo-moves.js';

let night: string;
let rejects: string;
const put = (name: string, content = name): void => {
  mkdirSync(dirname(join(night, name)), { recursive: true });
  writeFileSync(join(night, name), content);
};
const reject = async (...files: string[]): Promise<void> => {
  files.forEach((file) => put(file));
  const frames = files.map((file) => ({ file, path: join(night, file), decision: 'reject' as const }));
  await carryOutMoves(await planMoves(frames, rejects));
};
beforeEach(() => {
  night = join(mkdtempSync(join(tmpdir(), 'starassay-undo-')), 'night');
  rejects = join(night, 'rejects');
});

describe('undoMoves', () => {
  it('brings everything back, the last ones first, and leaves no trace', async () => {
    await reject('a.fits', 'L/b.fits');
    const done = await undoMoves(rejects);
    expect(done.refused).toEqual([]);
    expect(done.back.map((move) => move.to)).toEqual([join(night, 'L/b.fits'), join(night, 'a.fits')]);
    expect(readFileSync(join(night, 'L/b.fits'), 'utf8')).toBe('L/b.fits');
    expect(existsSync(rejects)).toBe(false);
  });

  it('does not overwrite what has taken the old place, and can be run again', async () => {
    await reject('a.fits', 'b.fits');
    put('a.fits', 'new');
    const first = await undoMoves(rejects);
    expect(first.back).toHaveLength(1);
    expect(first.refused[0]?.problem).toContain('old place');
    expect(readFileSync(join(night, 'a.fits'), 'utf8')).toBe('new');
    renameSync(join(night, 'a.fits'), join(night, 'c.fits'));
    expect((await undoMoves(rejects)).back).toHaveLength(1);
    expect(readFileSync(join(night, 'a.fits'), 'utf8')).toBe('a.fits');
    expect(existsSync(rejects)).toBe(false);
  });

  it('finds the old places when the whole night has been moved', async () => {
    await reject('a.fits');
    const moved = join(dirname(night), 'archive');
    renameSync(night, moved);
    await undoMoves(join(moved, 'rejects'));
    expect(existsSync(join(moved, 'a.fits'))).toBe(true);
  });

  it('keeps foreign files in the folder', async () => {
    await reject('a.fits');
    put('rejects/notes.txt');
    await undoMoves(rejects);
    expect(existsSync(join(rejects, 'notes.txt'))).toBe(true);
    expect(existsSync(join(rejects, journalName))).toBe(false);
  });

  it('says what is no longer there', async () => {
    await reject('a.fits');
    renameSync(join(rejects, 'a.fits'), join(night, 'elsewhere.fits'));
    const result = await undoMoves(rejects);
    expect(result.refused[0]?.problem).toContain('no longer');
  });

  it('clears up after a power cut on the way back', async () => {
    await reject('a.fits');
    const last = readFileSync(join(rejects, journalName), 'utf8').trim().split('\n').at(-1)!;
    appendFileSync(join(rejects, journalName), `${last.replace('"done"', '"undo-begin"')}\n`);
    renameSync(join(rejects, 'a.fits'), join(night, 'a.fits'));
    const result = await undoMoves(rejects);
    expect(result.refused).toEqual([]);
    expect(readFileSync(join(night, 'a.fits'), 'utf8')).toBe('a.fits');
  });

  it('says so when nothing was ever moved there', async () => {
    mkdirSync(rejects, { recursive: true });
    await expect(undoMoves(rejects)).rejects.toThrow(UsageError);
  });
});
