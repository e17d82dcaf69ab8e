import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { madeDocument } from '../rig/made-history.js';
import { rigFolder } from './run-rig.js';

let rig: ReturnType<typeof rigFolder>;
beforeEach(async () => {
  rig = rigFolder();
  await rig.run(
    ['record', '-'],
    JSON.stringify(madeDocument('2026-03-01', { header: { object: '=1+1, "x"' } })),
  );
});
afterEach(() => rig.cleanUp());

it('export and import through a file and through a pipe', async () => {
  await rig.run(['export', '--out', 'history.jsonl']);
  await expect(rig.run(['export', '--out', 'history.jsonl'])).rejects.toThrow(/exists already/);
  const { out } = await rig.run(['export']);
  expect(out).toBe(readFileSync(join(rig.folder, 'history.jsonl'), 'utf8'));
  expect((await rig.run(['import', 'history.jsonl', '--db', 'other.sqlite'])).out).toMatch(
    /^added 1 nights, 5 subs/,
  );
  expect((await rig.run(['import', '-', '--db', 'other.sqlite'], out)).out).toMatch(
    /^added 0 nights, 0 subs/,
  );
  await expect(rig.run(['import', 'gone.jsonl'])).rejects.toThrow(/cannot be read/);
  await expect(rig.run(['export', '--out', 'no/such/folder.jsonl'])).rejects.toThrow(/cannot be written/);
});

it('CSV tables keep formulas from being formulas', async () => {
  expect((await rig.run(['export', '--csv', 'nights'])).out.split('\n')).toHaveLength(3);
  const frames = (await rig.run(['export', '--csv', 'frames'])).out;
  expect(frames).toContain(`"'=1+1, ""x"""`);
});

it('backup and check', async () => {
  expect((await rig.run(['backup', 'copy.sqlite'])).out).toBe('wrote copy.sqlite\n');
  expect(existsSync(join(rig.folder, 'copy.sqlite'))).toBe(true);
  expect((await rig.run(['check', '--db', 'copy.sqlite'])).out).toMatch(/sound, 1 nights, 5 subs/);
  const { note, out } = await rig.run(['check', '--rebuild', '--json']);
  expect(note).toBe('worked out the figures of 1 nights anew\n');
  expect(JSON.parse(out)).toMatchObject({ sound: true, frames: 5 });
});
