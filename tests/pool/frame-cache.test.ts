import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { defaultFrameOptions, type FrameJob, type FrameOutcome } from '../../src/field/index.js';
import { openFrameCache } from '../../src/pool/frame-cache.js';

const root = mkdtempSync(join(tmpdir(), 'starassay-cache-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

let folder: string;
let n = 0;
beforeEach(() => {
  folder = join(root, `cache-${n++}`);
});

function job(name: string, bytes = 'pixels', options = {}): FrameJob {
  const path = join(root, name);
  writeFileSync(path, bytes);
  return { path, file: name, options: { ...defaultFrameOptions, ...options } };
}
const setAside = (file: string): FrameOutcome => ({ outcome: 'set-aside', file, kind: 'dark' });

const entries = (): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    statSync(join(folder, name)).isFile(),
  );

describe('openFrameCache', () => {
  it('recalls what was remembered, under the name of the file asked for', () => {
    const a = job('a.fits');
    openFrameCache({ folder }).remember(a, setAside('a.fits'));
    expect(openFrameCache({ folder }).recall({ ...a, file: 'sub/a.fits' })).toEqual(setAside('sub/a.fits'));
  });

  it('forgets when the file changes, or other options are asked for', () => {
    const a = job('a.fits');
    const cache = openFrameCache({ folder });
    cache.remember(a, setAside('a.fits'));
    expect(cache.recall({ ...a, options: { ...a.options, hdu: 2 } })).toBeNull();
    expect(cache.recall(job('a.fits', 'other pixels'))).toBeNull();
  });

  it('an entry with pictures serves a request without', () => {
    const a = job('a.fits', 'pixels', { pictures: 'all' });
    const cache = openFrameCache({ folder });
    cache.remember(a, setAside('a.fits'));
    expect(cache.recall({ ...a, options: { ...a.options, pictures: 'none' } })).not.toBeNull();
    const plain = job('b.fits', 'b');
    cache.remember(plain, setAside('b.fits'));
    expect(cache.recall({ ...plain, options: { ...plain.options, pictures: 'all' } })).toBeNull();
  });

  it('takes a damaged entry for a missing one', () => {
    const a = job('a.fits');
    const cache = openFrameCache({ folder });
    cache.remember(a, setAside('a.fits'));
    for (const name of entries()) writeFileSync(join(folder, name), 'garbage');
    expect(cache.recall(a)).toBeNull();
  });

  it('never fails a run: unwritable folder, missing file', () => {
    const blocked = openFrameCache({ folder: join(job('file-not-folder.fits').path, 'cache') });
    const a = job('a.fits');
    blocked.remember(a, setAside('a.fits'));
    expect(blocked.recall(a)).toBeNull();
    blocked.trim();
    expect(openFrameCache({ folder }).recall({ ...a, path: join(root, 'missing.fits') })).toBeNull();
  });

  it('trims to its size limit', () => {
    const cache = openFrameCache({ folder, mostBytes: 300 });
    for (let i = 0; i < 20; i++) cache.remember(job(`t${i}.fits`, `pixels ${i}`), setAside(`t${i}.fits`));
    cache.trim();
    const total = entries().reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
    expect(total).toBeGreaterThan(0);
    expect(total).toBeLessThanOrEqual(300);
  });
});
