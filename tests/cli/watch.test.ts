import { cpSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { registerWatch } from '../../src/cli/watch.js';
import { sampleNight } from './run-command.js';
import { runInProcess } from './run-in-process.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-watch-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const subs = readdirSync(sampleNight)
  .filter((name) => name.endsWith('.fits'))
  .slice(0, 2);

const watch = (name: string, ...args: string[]) =>
  runInProcess(registerWatch, folder, [
    'watch',
    name,
    '--once',
    '--settle',
    '0',
    '--threads',
    '0',
    '--no-cache',
    ...args,
  ]);

function night(name: string): string {
  const path = join(folder, name);
  for (const sub of subs) cpSync(join(sampleNight, sub), join(path, sub));
  return path;
}

describe('starassay watch', () => {
  it('gives a line for each sub, the summary at the end, and names what is no sub', async () => {
    writeFileSync(join(night('a'), 'notes.fits'), 'clear sky');
    const { out, err, exit } = await watch('a');
    for (const sub of subs) expect(out.split('\n').filter((line) => line.includes(sub))).toHaveLength(1);
    expect(out).toContain('All 2 subs are worth keeping');
    expect(out).toContain('1 file could not be read');
    expect(err).toContain('notes.fits');
    expect(exit).toBe(0);
  });

  it('writes one JSON line a sub for a script', async () => {
    night('b');
    const { out } = await watch('b', '--json');
    const lines = out.trim().split('\n');
    expect(lines.map((line) => (JSON.parse(line) as { file: string }).file).sort()).toEqual(subs);
  });

  it("honours a person's own decision kept beside the subs", async () => {
    const path = night('c');
    writeFileSync(
      join(path, 'starassay-decisions.json'),
      JSON.stringify({ schema: 'starassay/decisions@1', frames: { [subs[0]!]: 'reject' } }),
    );
    expect((await watch('c')).out).toContain('1 of 2 subs are worth keeping');
  });

  it('ends with 3 when nothing could be measured, and refuses a folder that is not there', async () => {
    writeFileSync(join(night('d'), subs[0]!), 'x');
    writeFileSync(join(folder, 'd', subs[1]!), 'x');
    expect((await watch('d')).exit).toBe(3);
    await expect(watch('nowhere')).rejects.toMatchObject({ code: 'usage' });
  });
});
