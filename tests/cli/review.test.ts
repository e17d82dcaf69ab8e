import { spawn } from 'node:child_process';
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run, sampleNight } from './run-command.js';

const entry = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));
let folder: string;
let night: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'review-'));
  night = mkdtempSync(join(folder, 'night-'));
  const subs = readdirSync(sampleNight).filter((name) => name.endsWith('.fits'));
  for (const name of subs.slice(0, 3)) copyFileSync(join(sampleNight, name), join(night, name));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('starassay review', () => {
  it('serves the night, keeps a decision beside the subs, and cull honours it', async () => {
    const names = readdirSync(night);
    const bytes = names.map((name) => readFileSync(join(night, name)));
    const env = {
      PATH: process.env.PATH,
      HOME: folder,
      XDG_CACHE_HOME: join(folder, 'cache'),
      STARASSAY_CONFIG_DIR: folder,
    };
    const server = spawn(process.execPath, [entry, 'review', night], { env });
    try {
      const address = await new Promise<string>((resolve, reject) => {
        server.stdout.on('data', (chunk: Buffer) => resolve(chunk.toString().trim()));
        server.once('exit', () => reject(new Error('the server ended')));
      });
      const opened = await fetch(address, { redirect: 'manual' });
      const cookie = opened.headers.get('set-cookie')!.split(';')[0]!;
      const { origin } = new URL(address);
      const page = await (await fetch(origin, { headers: { cookie } })).text();
      for (const name of names) expect(page).toContain(name);
      const answer = await fetch(`${origin}/decision`, {
        method: 'POST',
        headers: { cookie, origin, 'content-type': 'application/json' },
        body: JSON.stringify({ frame: 1, decision: 'reject' }),
      });
      expect(await answer.json()).toMatchObject({
        words: expect.stringMatching(/^Rejected by you\. Keep 2 of 3 subs/),
        changed: { t1: expect.stringContaining('rejected by you') },
      });
    } finally {
      server.kill('SIGINT');
    }
    await new Promise((resolve) => (server.exitCode === null ? server.once('exit', resolve) : resolve(null)));

    const culled = JSON.parse(run(['cull', night, '--json'], { home: folder }).out);
    const frames = new Map<string, { decision: string; reasons: { code: string }[] }>(
      culled.frames.map((frame: { file: string }) => [frame.file, frame]),
    );
    expect(frames.get(names[1]!)).toMatchObject({ decision: 'reject' });
    expect(frames.get(names[1]!)!.reasons[0]!.code).toBe('overruled');
    names.forEach((name, i) => expect(readFileSync(join(night, name)).equals(bytes[i]!)).toBe(true));
  });

  it('ends with 2 for a path that is not there', () => {
    expect(run(['review', join(folder, 'missing')], { home: folder }).code).toBe(2);
  });
});
