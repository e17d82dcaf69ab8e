import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readAhead } from '../../src/pool/read-ahead.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-ahead-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('reading ahead', () => {
  it('reads a small file to its end', async () => {
    const path = join(folder, 'small.fits');
    writeFileSync(path, Buffer.alloc(5000));
    expect(await readAhead(path)).toBe(5000);
  });

  it('leaves a large file that is in memory already', async () => {
    const path = join(folder, 'large.fits');
    writeFileSync(path, Buffer.alloc(64 * 1024 * 1024));
    // Just written, so it is in memory; a busy machine may delay some chunks.
    expect(await readAhead(path)).toBeLessThan(48 * 1024 * 1024);
  });

  it('says nothing of what cannot be read, and ends when told to', async () => {
    expect(await readAhead(join(folder, 'missing.fits'))).toBe(0);
    expect(await readAhead(folder)).toBe(0);
    const path = join(folder, 'stopped.fits');
    writeFileSync(path, Buffer.alloc(5000));
    expect(await readAhead(path, AbortSignal.abort())).toBe(0);
  });
});
