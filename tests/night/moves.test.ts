import {
  appendFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { UsageError } from '../../src/errors.js';
import { journalName, readJournal } from '../../src/night/move-journal.js';
import { carryOutMoves, planMoves } from '../../src/night/moves.js';

let night: string;
let rejects: string;
const frame = (file: string, decision: 'keep' | 'reject' = 'reject') => ({
  file,
  path: join(night, file),
  decision,
});
const put = (name: string, content = name): void => {
  mkdirSync(dirname(join(night, name)), { recursive: true });
  writeFileSync(join(night, name), content);
};
const text = (path: string): string => readFileSync(path, 'utf8');

beforeEach(() => {
  night = mkdtempSync(join(tmpdir(), 'starassay-night-'));
  rejects = join(night, 'rejects');
});

describe('planMoves', () => {
  it('names rejects only, keeps sub-folders, touches nothing', async () => {
    put('a.fits');
    put('L/b.fits');
    put('c.fits');
    const plan = await planMoves([frame('a.fits'), frame('L/b.fits'), frame('c.fits', 'keep')], rejects);
    expect(plan.moves.map((move) => [move.file, move.to, move.problem])).toEqual([
      ['a.fits', join(rejects, 'a.fits'), null],
      ['L/b.fits', join(rejects, 'L', 'b.fits'), null],
    ]);
    expect(existsSync(rejects)).toBe(false);
  });

  it('refuses, with words, what it must not move', async () => {
    put('taken.fits');
    put('rejects/taken.fits', 'older');
    put('link-target.fits');
    symlinkSync(join(night, 'link-target.fits'), join(night, 'link.fits'));
    put('rejects/inside.fits');
    put('x/same.fits');
    const plan = await planMoves(
      [
        frame('taken.fits'),
        frame('link.fits'),
        { ...frame('inside.fits'), path: join(rejects, 'inside.fits') },
        frame('gone.fits'),
        { ...frame('same.fits'), path: join(night, 'x/same.fits') },
        { ...frame('same.fits'), path: join(night, 'x/same.fits') },
      ],
      rejects,
    );
    expect(plan.moves.map((move) => move.problem !== null)).toEqual([true, true, true, true, false, true]);
  });

  it('keeps names that climb out of the night inside the folder', async () => {
    put('a.fits');
    const plan = await planMoves([{ ...frame('../../a.fits'), path: join(night, 'a.fits') }], rejects);
    expect(plan.moves[0]!.to).toBe(join(rejects, 'a.fits'));
  });

  it('wants a folder, not a file', async () => {
    put('rejects');
    await expect(planMoves([], rejects)).rejects.toThrow(UsageError);
  });
});

describe('carryOutMoves', () => {
  it('moves and journals', async () => {
    put('a.fits');
    put('L/b.fits');
    const result = await carryOutMoves(await planMoves([frame('a.fits'), frame('L/b.fits')], rejects));
    expect(result.refused).toEqual([]);
    expect(text(join(rejects, 'L/b.fits'))).toBe('L/b.fits');
    expect(existsSync(join(night, 'a.fits'))).toBe(false);
    expect([...(await readJournal(rejects))!.values()].map((entry) => entry.step)).toEqual(['done', 'done']);
  });

  it('does not overwrite a file that appeared since the plan, and goes on with the others', async () => {
    put('a.fits');
    put('b.fits');
    const plan = await planMoves([frame('a.fits'), frame('b.fits')], rejects);
    put('rejects/a.fits', 'foreign');
    const result = await carryOutMoves(plan);
    expect(result.moved.map((move) => move.file)).toEqual(['b.fits']);
    expect(result.refused.map((move) => move.file)).toEqual(['a.fits']);
    expect(text(join(rejects, 'a.fits'))).toBe('foreign');
    expect(text(join(night, 'a.fits'))).toBe('a.fits');
  });

  it('makes no folder and no journal when there is nothing to move', async () => {
    await carryOutMoves(await planMoves([frame('a.fits', 'keep')], rejects));
    expect(existsSync(rejects)).toBe(false);
  });

  it.each([
    ['before the file was touched', () => undefined, 'cancelled', true],
    ['after the second name was made', (from: string, to: string) => linkSync(from, to), 'cancelled', true],
    ['in the middle of a copy', (_: string, to: string) => writeFileSync(to, 'a.f'), 'cancelled', true],
    ['before the last line', (from: string, to: string) => renameSync(from, to), 'done', false],
  ] as const)('clears up after a power cut %s', async (_, crash, step, stays) => {
    put('a.fits');
    put('z.fits');
    mkdirSync(rejects);
    const line = {
      schema: 'starassay/moves@1',
      step: 'begin',
      from: join(night, 'a.fits'),
      fromRelative: '../a.fits',
      to: 'a.fits',
      folder: rejects,
      bytes: 6,
      at: '',
    };
    appendFileSync(join(rejects, journalName), `${JSON.stringify(line)}\n`);
    crash(line.from, join(rejects, 'a.fits'));
    await carryOutMoves(await planMoves([frame('z.fits')], rejects));
    expect((await readJournal(rejects))!.get('a.fits')?.step).toBe(step);
    expect(existsSync(join(night, 'a.fits'))).toBe(stays);
    expect(existsSync(join(rejects, 'a.fits'))).toBe(!stays);
    expect(text(stays ? line.from : join(rejects, 'a.fits'))).toBe('a.fits');
  });
});
