import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { measuredFrames } from '../../src/cli/measured-frames.js';
import { parseScenario, simulateNight } from '../../src/simulate/index.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'measured-'));
  const scenario = parseScenario(
    { name: 'one', frames: 1, camera: { widthPx: 300, heightPx: 200 }, stars: { count: 40 } },
    'test',
  );
  for (const { bytes } of simulateNight(scenario)) writeFileSync(join(folder, 'good.fits'), bytes);
  writeFileSync(join(folder, 'words.fits'), 'these are words');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function context(): { context: CliContext; notes: () => string } {
  let notes = '';
  const made = {
    note: (text: string) => void (notes += text),
    interactive: false,
    cwd: folder,
    env: {},
    signal: new AbortController().signal,
  } as unknown as CliContext;
  return { context: made, notes: () => notes };
}

/** On this thread, nothing remembered. */
const inline = { threads: 0, cache: false };

describe('frames measured star by star', () => {
  it('carry their stars, and files that cannot be read are named', async () => {
    const { context: made, notes } = context();
    const frames = await measuredFrames(['.'], inline, made);
    expect(frames.map((frame) => frame.file)).toEqual(['good.fits']);
    expect(frames[0]!.starShapes!.length).toBeGreaterThan(5);
    expect(notes()).toContain('words.fits');
    const named = await measuredFrames(['good.fits'], { ...inline, positions: [77] }, made);
    expect(named[0]!.header.focuserPosition).toBe(77);
  });

  it('are an error with words when there is none', async () => {
    await expect(measuredFrames(['words.fits'], inline, context().context)).rejects.toThrow(
      'could not be measured',
    );
  });
});
