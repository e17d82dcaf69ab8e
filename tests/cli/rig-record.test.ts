import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { simulateRigYear } from '../../src/simulate/index.js';
import { madeDocument } from '../rig/made-history.js';
import { rigFolder } from './run-rig.js';

let rig: ReturnType<typeof rigFolder>;
beforeEach(() => {
  rig = rigFolder();
});
afterEach(() => rig.cleanUp());

describe('rig record', () => {
  it('records documents and standard input, and updates on the second time', async () => {
    const text = JSON.stringify(madeDocument('2026-03-01'));
    writeFileSync(join(rig.folder, 'night.json'), text);
    expect((await rig.run(['record', 'night.json'])).out).toBe(
      'night.json: 5 new, 0 updated subs, 2026-03-01, of Marsh 106, 530 mm, Heron 26M\n',
    );
    expect((await rig.run(['record', '-'], text)).out).toMatch(
      /^standard input: 0 new, 5 updated subs \(recorded before under the same camera and times\), 2026/,
    );
    const json = JSON.parse((await rig.run(['record', '-', '--json'], text)).out) as object;
    expect(json).toMatchObject({ schema: 'starassay/rig-record@1', documents: [{ added: 0, updated: 5 }] });
  });

  it('a name mistyped at the end stores nothing', async () => {
    writeFileSync(join(rig.folder, 'night.json'), JSON.stringify(madeDocument('2026-03-01')));
    await expect(rig.run(['record', 'night.json', 'gone.json'])).rejects.toThrow(
      /gone\.json cannot be read \(ENOENT\)/,
    );
    await expect(rig.run(['list'])).rejects.toThrow(/no rig history/);
  });

  it('takes a simulated year with the notes of its owner, once', async () => {
    const year = JSON.stringify(simulateRigYear({ seed: 2, days: 40, framesPerNight: 8 }));
    await rig.run(['record', '-'], year);
    const notes = (await rig.run(['note'])).out;
    await rig.run(['record', '-'], year);
    expect((await rig.run(['note'])).out).toBe(notes);
    expect(notes).toContain('spacer of 0.5 mm added (spacing +0.50 mm)');
  });
});

describe('rig note', () => {
  it('logs, lists, removes', async () => {
    await rig.run(['record', '-'], JSON.stringify(madeDocument('2026-03-01')));
    expect((await rig.run(['note'])).out).toBe('No notes yet.\n');
    await rig.run(['note', '2026-03-04', 'spacer', '--spacing', '0.5']);
    expect((await rig.run(['note'])).out).toBe('  1 2026-03-04 spacer (spacing +0.50 mm)\n');
    const twice = await rig.run(['note', '2026-03-04', ' spacer ', '--spacing', '0.5']);
    expect(twice.note).toContain('there already, as note 1: 2026-03-04 spacer');
    expect(twice.out).toBe('  1 2026-03-04 spacer (spacing +0.50 mm)\n');
    expect(JSON.parse((await rig.run(['note', '--json'])).out)).toMatchObject({
      notes: [{ number: 1, spacingMm: 0.5 }],
    });
    expect((await rig.run(['note', '--remove', '1'])).out).toBe('removed: 2026-03-04 spacer\n');
    await expect(rig.run(['note', '2026-03-04'])).rejects.toThrow(/says nothing/);
    await expect(rig.run(['note', 'soon', 'x'])).rejects.toThrow(/is not a date/);
  });
});
