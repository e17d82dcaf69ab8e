import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseRungs, registerLadder } from '../../src/cli/ladder.js';
import { UsageError } from '../../src/errors.js';
import { drawLadder } from './drawn-ladder.js';
import { runInProcess } from './run-in-process.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ladder-'));
  drawLadder(folder, [54, 56]);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...args: string[]) =>
  runInProcess(registerLadder, folder, ['ladder', ...args, '--threads', '0', '--no-cache']);

describe('starassay ladder', () => {
  it('finds the best spacing of drawn frames', async () => {
    const { out } = await run('54=spacing-54.00', '56=spacing-56.00', '--json');
    const ladder = JSON.parse(out);
    expect(ladder.schema).toBe('starassay/ladder@1');
    // A sixth of a sensor's usual stars: 0.2 mm; the bench holds the 0.1 mm of full frames.
    expect(Math.abs(ladder.bestSpacingMm - 55)).toBeLessThan(0.2);
    expect(ladder.points).toHaveLength(2);
  });

  it('needs two spacings', async () => {
    await expect(run('54=spacing-54.00')).rejects.toThrow('one spacing only');
  });

  it('reads spacings with unit or comma, and several paths for one', () => {
    expect([...parseRungs(['54.5mm=a', '54,5=b', '56=c=d'])]).toEqual([
      [54.5, ['a', 'b']],
      [56, ['c=d']],
    ]);
  });

  it.each(['54', '=a', 'x=a', '54='])('has words for "%s"', (text) => {
    expect(() => parseRungs([text])).toThrow(UsageError);
  });
});
