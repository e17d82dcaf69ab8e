import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { registerMeasure } from '../../src/cli/measure.js';
import { sampleNight } from './run-command.js';
import { runInProcess } from './run-in-process.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-measure-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const first = join(sampleNight, 'heron-field_L_120s_001.fits');
const second = join(sampleNight, 'heron-field_L_120s_002.fits');
const measure = (...args: string[]) => runInProcess(registerMeasure, folder, ['measure', ...args]);

describe('starassay measure', () => {
  it('tells a frame in full', async () => {
    const { out, exit } = await measure(first);
    for (const figure of ['FWHM', 'HFD', 'elongation', 'plate scale', 'sky', 'corners'])
      expect(out).toContain(figure);
    expect(exit).toBe(0);
  });

  it('writes one JSON line a file, and goes on past one that cannot be read', async () => {
    writeFileSync(join(folder, 'x.fits'), 'no stars here');
    const { out, err, exit } = await measure(first, 'x.fits', second, '--json');
    const files = out
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { file: string }).file);
    expect(files).toEqual(['heron-field_L_120s_001.fits', 'heron-field_L_120s_002.fits']);
    expect(err).toContain('x.fits');
    expect(exit).toBe(0);
  });

  it('writes the star list in the format that the ending says', async () => {
    await measure(first, '--stars', 'stars.ecsv');
    expect(readFileSync(join(folder, 'stars.ecsv'), 'utf8')).toMatch(/^# %ECSV 1\.0/);
    await measure(first, '--stars', 'stars.csv');
    expect(readFileSync(join(folder, 'stars.csv'), 'utf8').split('\n')[0]).toMatch(/^[a-z_0-9,]+/i);
  });

  it('refuses a star list of several frames, and an ending that it does not know, before it measures', async () => {
    await expect(measure(first, second, '--stars', 's.csv')).rejects.toMatchObject({ code: 'usage' });
    await expect(measure(first, '--stars', 's.txt')).rejects.toMatchObject({ code: 'usage' });
  });

  it('ends with 3 when nothing could be measured', async () => {
    expect((await measure('x.fits')).exit).toBe(3);
  });
});
