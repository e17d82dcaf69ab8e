import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { checkOutput, writeOutput } from '../../src/cli/write-output.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-output-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('writeOutput', () => {
  it('writes a new file and leaves nothing beside it', () => {
    const path = join(folder, 'new', '..', 'a.json');
    writeOutput(path, '{"schema":"starassay/night@1"}');
    expect(readFileSync(path, 'utf8')).toContain('night@1');
    expect(readdirSync(folder)).toEqual(['a.json']);
  });

  it('replaces a document that this program wrote', () => {
    const path = join(folder, 'b.html');
    writeOutput(path, '<meta name="generator" content="starassay 1">old');
    writeOutput(path, '<meta name="generator" content="starassay 1">new');
    expect(readFileSync(path, 'utf8')).toContain('new');
  });

  it('never replaces anything else, FITS files that name this program least of all', () => {
    const letter = join(folder, 'letter.html');
    writeFileSync(letter, '<p>my own page</p>');
    expect(() => writeOutput(letter, 'starassay')).toThrow(/another origin/);
    const fits = join(folder, 'sub.fits');
    writeFileSync(fits, `SIMPLE  =                    T / made by starassay simulate`.padEnd(2880));
    expect(() => writeOutput(fits, 'starassay')).toThrow(/another origin/);
    expect(readFileSync(letter, 'utf8')).toBe('<p>my own page</p>');
  });

  it('can be asked beforehand, and touches nothing then', () => {
    const letter = join(folder, 'letter.html');
    expect(() => checkOutput(letter)).toThrow(/another origin/);
    expect(() => checkOutput(join(folder, 'no', 'such', 'x.json'))).toThrow(/cannot be written/);
    checkOutput(join(folder, 'fresh.json'));
    expect(readdirSync(folder)).not.toContain('fresh.json');
  });

  it('names what is in the way when a file stands where a folder should, or a folder where the file should', () => {
    const file = join(folder, 'plain.json');
    writeOutput(file, '{"schema":"starassay/night@1"}');
    for (const call of [checkOutput, (path: string) => writeOutput(path, 'starassay')]) {
      expect(() => call(join(file, 'y.html'))).toThrow(/plain\.json is a file and not a folder/);
      expect(() => call(join(file, 'deep', 'y.html'))).toThrow(/cannot be written/);
      expect(() => call(folder)).toThrow(/is a folder/);
    }
  });

  it('says what to do when the folder is missing', () => {
    expect(() => writeOutput(join(folder, 'no', 'such', 'x.json'), 'starassay')).toThrow(
      expect.objectContaining({ code: 'usage', remedy: expect.stringContaining('folder') }),
    );
  });
});
