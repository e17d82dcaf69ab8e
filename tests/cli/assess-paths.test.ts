import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { assessPaths } from '../../src/cli/assess-paths.js';
import type { CliContext } from '../../src/cli/context.js';
import { sampleNight } from './run-command.js';

const cwd = mkdtempSync(join(tmpdir(), 'starassay-assess-'));
afterAll(() => rmSync(cwd, { recursive: true, force: true }));
const abort = new AbortController();
const context = { cwd, interactive: false, signal: abort.signal } as CliContext;
const flags = { cache: false, threads: 0 };
const one = join(sampleNight, 'heron-field_L_120s_005.fits');

describe('assessPaths', () => {
  it('hands limits and pictures on', async () => {
    const strict = await assessPaths([one], flags, 'none', context, { elongation: 1.2 });
    expect(strict.limits.elongation).toBe(1.2);
    expect(strict.frames[0]!.pictures.preview).toBeNull();
    const lenient = await assessPaths([one], flags, 'preview', context, { elongation: null });
    expect(lenient.limits.elongation).toBeNull();
    expect(lenient.frames[0]!.pictures.preview).not.toBeNull();
  });

  it('ends at once when the user has stopped it', async () => {
    abort.abort();
    await expect(assessPaths([one], flags, 'none', context)).rejects.toThrow();
  });
});
