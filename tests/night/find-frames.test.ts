import { chmodSync, mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { StarassayError, UsageError } from '../../src/errors.js';
import { findLightFrames, isFrameName } from '../../src/night/find-frames.js';

let folder: string;
const put = (...names: string[]): void => {
  for (const name of names) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), name);
  }
};
const find = async (...paths: string[]): Promise<string[]> =>
  (await findLightFrames(paths, folder)).map((frame) => frame.file);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-find-'));
});

describe('findLightFrames', () => {
  it('takes every FITS name in any case, in depth and in natural order, and nothing else', async () => {
    put(
      'n/s_10.fits',
      'n/s_9.FIT',
      'n/deep/er/a.fts.gz',
      'n/b.fits.fz',
      'n/c.fits.GZ',
      'n/notes.txt',
      'n/x.fits.bak',
      'n/y.gz',
    );
    expect(await find('n')).toEqual(['b.fits.fz', 'c.fits.GZ', 'deep/er/a.fts.gz', 's_9.FIT', 's_10.fits']);
  });

  it('passes over hidden files and folders and over folders of moved rejects, unless these are named', async () => {
    put('n/a.fits', 'n/._a.fits', 'n/.trash/b.fits', 'n/rejects/c.fits', 'n/rejects/starassay-moves.jsonl');
    expect(await find('n')).toEqual(['a.fits']);
    expect(await find('n/rejects')).toEqual(['c.fits']);
    const notes: string[] = [];
    await findLightFrames(['n'], folder, (text) => void notes.push(text));
    expect(notes.join()).toContain('rejects');
  });

  it('survives loops of links and takes a file once, however it is reached', async () => {
    put('n/a.fits');
    symlinkSync(join(folder, 'n'), join(folder, 'n/loop'));
    symlinkSync(join(folder, 'n/a.fits'), join(folder, 'n/copy.fits'));
    symlinkSync(join(folder, 'nowhere.fits'), join(folder, 'n/dangling.fits'));
    expect(await find('n', 'n/a.fits', '.')).toEqual(['a.fits']);
  });

  it('leaves a named link that leads in a circle to the reader, and tells of one in a folder', async () => {
    put('n/a.fits');
    symlinkSync(join(folder, 'n/y.fits'), join(folder, 'n/x.fits'));
    symlinkSync(join(folder, 'n/x.fits'), join(folder, 'n/y.fits'));
    expect(await find('n/a.fits', 'n/x.fits')).toEqual(['a.fits', 'x.fits']);
    const notes: string[] = [];
    const found = await findLightFrames(['n'], folder, (text) => notes.push(text));
    expect(found.map(({ file }) => file)).toEqual(['a.fits']);
    expect(notes).toHaveLength(2);
    expect(notes[0]).toMatch(/x\.fits is no file .* passed over/);
  });

  it('takes a file that is named itself, whatever its name', async () => {
    put('image.dat');
    expect(await find('image.dat')).toEqual(['image.dat']);
  });

  it('gives names that clash relative to the working folder', async () => {
    put('one/a.fits', 'two/a.fits', 'two/b.fits');
    expect(await find('one', 'two')).toEqual(['b.fits', 'one/a.fits', 'two/a.fits']);
  });

  it('says what is wrong with a path that is not there', async () => {
    await expect(find('nowhere')).rejects.toThrow(UsageError);
    await expect(find('nowhere')).rejects.toThrow(/"nowhere"/);
    await expect(find()).rejects.toThrow(UsageError);
  });

  it('says that an empty folder is empty, with what was looked for', async () => {
    mkdirSync(join(folder, 'empty'));
    const error = await find('empty').catch((caught: unknown) => caught as StarassayError);
    expect(error).toBeInstanceOf(StarassayError);
    expect(error).toMatchObject({
      code: 'unreadable-file',
      message: expect.stringContaining('empty') as string,
    });
  });

  it('passes over a folder that may not be read, with a word', async () => {
    put('n/a.fits', 'n/locked/b.fits');
    chmodSync(join(folder, 'n/locked'), 0);
    const notes: string[] = [];
    const found = await findLightFrames(['n'], folder, (text) => void notes.push(text));
    chmodSync(join(folder, 'n/locked'), 0o755);
    // The superuser may read everything.
    expect(found.length === 2 || notes.join().includes('locked')).toBe(true);
  });
});

it('isFrameName knows the endings and hidden files', () => {
  expect(['a.fits', 'x/b.FIT.gz', 'c.fts.fz'].every(isFrameName)).toBe(true);
  expect(['a.fit.bz2', 'fits', '.a.fits', 'x/._b.fits', 'a.fits.txt'].some(isFrameName)).toBe(false);
});
