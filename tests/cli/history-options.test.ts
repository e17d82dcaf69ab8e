import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command } from 'commander';
import { afterAll, describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { addHistoryOptions, historyReader } from '../../src/cli/history-options.js';
import type { FrameAssessment } from '../../src/field/types.js';
import { openStore, recordNight } from '../../src/rig/index.js';
import { evenings, madeNight } from '../rig/made-history.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-history-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const frames = madeNight('2026-05-01').frames as unknown as FrameAssessment[];
let said = '';
const context = {
  cwd: folder,
  env: { STARASSAY_CONFIG_DIR: folder },
  note: (text: string) => void (said += text),
} as unknown as CliContext;

describe('the history that a night is held against', () => {
  it('is asked unless told not to', () => {
    const command = addHistoryOptions(new Command('x'));
    command.parse([], { from: 'user' });
    expect(command.opts()).toEqual({ history: true });
    command.parse(['--no-history', '--db', 'r.sqlite'], { from: 'user' });
    expect(command.opts()).toEqual({ history: false, db: 'r.sqlite' });
  });

  it('none there, or not wanted: nothing is looked up', async () => {
    expect(await historyReader({ history: true, db: 'none.sqlite' }, context)).toBeUndefined();
    expect(await historyReader({ history: false }, context)).toBeUndefined();
  });

  it('gives what is known of the rig', async () => {
    const store = openStore(join(folder, 'rigs.sqlite'));
    for (const date of evenings('2026-01-01', 9)) recordNight(store, madeNight(date));
    store.close();
    const read = (await historyReader({ history: true, db: 'rigs.sqlite' }, context))!;
    expect(read(frames)?.normals.figures['fwhm-zenith']?.nights).toBe(9);
    expect(said).toBe('');
  });

  it('a history that cannot be read is said, and does not cost the night', async () => {
    writeFileSync(join(folder, 'photo.sqlite'), 'not a database at all');
    const read = (await historyReader({ history: true, db: 'photo.sqlite' }, context))!;
    expect(read(frames)).toBeNull();
    expect(said).toMatch(/^warning: judged without the rig's history: .*is not a rig history\n$/);
  });
});
