import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { registerSweep } from '../../src/cli/sweep.js';
import { drawLadder } from './drawn-ladder.js';
import { runInProcess } from './run-in-process.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sweep-'));
  drawLadder(folder, [54]);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...args: string[]) =>
  runInProcess(registerSweep, folder, ['sweep', ...args, '--threads', '0', '--no-cache']);

describe('starassay sweep', () => {
  it('gives tilt and curvature of drawn frames, as text, JSON and page', async () => {
    const { out } = await run('spacing-54.00', '--json', '--report', 'sweep.html', '--flange', '54');
    const sweep = JSON.parse(out);
    expect(sweep.schema).toBe('starassay/sweep@1');
    expect(Math.abs(sweep.curvature.cornerMicron + 50)).toBeLessThan(
      Math.max(6, 4 * sweep.curvature.errorMicron),
    );
    expect(Math.abs(sweep.tilt.spanMicron - 30)).toBeLessThan(Math.max(6, 4 * sweep.tilt.spanErrorMicron));
    expect(sweep.shim.flangeMm).toBe(54);
    expect(readFileSync(join(folder, 'sweep.html'), 'utf8')).toContain('Surface of best focus');
    expect((await run('spacing-54.00')).out).toContain('What to do:');
  });

  it('has words for a folder that is no sweep and for a rig that is not known', async () => {
    writeFileSync(join(folder, 'lone.fits'), readFileSync(join(folder, 'spacing-54.00', firstFrame())));
    await expect(run('lone.fits')).rejects.toThrow('1 different focuser position');
    await expect(run('nowhere')).rejects.toThrow('nowhere');
  });
});

function firstFrame(): string {
  return 'heron-field_L_120s_001.fits';
}
