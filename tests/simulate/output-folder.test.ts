import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkOutputFolder, TRUTH_FILE, writeWhole } from '../../src/simulate/output-folder.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('checkOutputFolder', () => {
  it('takes a new folder and an empty one', async () => {
    await checkOutputFolder(join(folder, 'new'), ['a.fits'], false);
    await checkOutputFolder(folder, ['a.fits'], false);
  });

  it('refuses a folder that holds anything, and a file', async () => {
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    await expect(checkOutputFolder(folder, ['a.fits'], false)).rejects.toThrow(/not empty/);
    await expect(checkOutputFolder(join(folder, 'notes.txt'), ['a.fits'], true)).rejects.toThrow(/is a file/);
  });

  it('lets an earlier simulation be replaced, but never a file of the user', async () => {
    const truth = { schema: 'starassay/truth@1', frames: [{ file: 'a.fits' }] };
    writeFileSync(join(folder, TRUTH_FILE), JSON.stringify(truth));
    writeFileSync(join(folder, 'a.fits'), 'simulated');
    writeFileSync(join(folder, 'b.fits'), 'mine');
    await checkOutputFolder(folder, ['a.fits', TRUTH_FILE], true);
    await expect(checkOutputFolder(folder, ['a.fits', 'b.fits'], true)).rejects.toThrow(
      /b\.fits is there and was not made by a simulation/,
    );
  });

  it('trusts no truth.json that is not its own', async () => {
    writeFileSync(join(folder, TRUTH_FILE), '{ "frames": [{ "file": "a.fits" }] }');
    writeFileSync(join(folder, 'a.fits'), 'mine');
    await expect(checkOutputFolder(folder, ['a.fits'], true)).rejects.toThrow(/not made by a simulation/);
    await expect(checkOutputFolder(folder, [TRUTH_FILE], true)).rejects.toThrow(/not made by a simulation/);
  });
});

describe('writeWhole', () => {
  it('leaves the whole file under its name and nothing else', async () => {
    mkdirSync(join(folder, 'deep'));
    await writeWhole(join(folder, 'deep', 'a.txt'), 'whole');
    expect(readdirSync(join(folder, 'deep'))).toEqual(['a.txt']);
    expect(readFileSync(join(folder, 'deep', 'a.txt'), 'utf8')).toBe('whole');
    expect(existsSync(join(folder, 'a.txt'))).toBe(false);
  });
});
