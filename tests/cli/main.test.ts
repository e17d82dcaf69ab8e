import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { run, sampleNight } from './run-command.js';

const entry = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));

/** Start the command, send Ctrl-C after its first progress or `waitMs`, and wait for its end. */
function interrupted(args: readonly string[], waitMs: number): Promise<{ code: number | null; err: string }> {
  return new Promise((done) => {
    const child = spawn(process.execPath, [entry, ...args], {
      env: { PATH: process.env.PATH, HOME: '/nonexistent-home' },
    });
    let err = '';
    child.stdout.resume();
    child.stderr.on('data', (chunk) => (err += String(chunk)));
    setTimeout(() => child.kill('SIGINT'), waitMs);
    child.on('close', (code) => done({ code, err }));
  });
}

describe('the command', () => {
  it.each([
    ['cull', ['cull', '--no-cache', sampleNight]],
    [
      'measure',
      [
        'measure',
        '--no-cache',
        ...Array.from({ length: 40 }, () => `${sampleNight}/heron-field_L_120s_001.fits`),
      ],
    ],
  ])('%s stops at Ctrl-C with a word and code 130, not with a crash', async (_, args) => {
    const { code, err } = await interrupted(args, 900);
    expect(code).toBe(130);
    expect(err).toContain('starassay: stopped');
    expect(err).not.toMatch(/AbortError|at .*\.js/);
  });

  it('names what is wrong with an option and ends with 2', () => {
    const { code, err } = run(['cull', sampleNight, '--max-elongation', '0.5']);
    expect(code).toBe(2);
    expect(err).toContain('1 or more');
    expect(run(['cull', sampleNight, '--yes'])).toMatchObject({
      code: 2,
      err: expect.stringContaining('--move-rejects'),
    });
  });
});
