import { execFileSync } from 'node:child_process';
import { appendFileSync, copyFileSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { contentIdentity } from '../../src/pool/content-identity.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-identity-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const then = new Date('2026-01-01T00:00:00Z');

function write(name: string, bytes: Uint8Array, time = then): string {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  utimesSync(path, time, time);
  return path;
}
const content = Uint8Array.from({ length: 500_000 }, (_, i) => (i * 7919) & 255);

describe('contentIdentity', () => {
  it('does not depend on name or folder', () => {
    const a = write('a.fits', content);
    const b = join(folder, 'b.fits');
    copyFileSync(a, b);
    utimesSync(b, then, then);
    expect(contentIdentity(b)).toBe(contentIdentity(a));
  });

  it('changes with size, header, tail and time of change', () => {
    const original = contentIdentity(write('c.fits', content));
    const header = content.slice();
    header[100]! ^= 1;
    const tail = content.slice();
    tail[tail.length - 5]! ^= 1;
    const longer = write('d.fits', content);
    appendFileSync(longer, 'x');
    utimesSync(longer, then, then);
    const others = [
      contentIdentity(write('e.fits', header)),
      contentIdentity(write('f.fits', tail)),
      contentIdentity(longer),
      contentIdentity(write('g.fits', content, new Date('2026-01-01T00:00:01Z'))),
    ];
    expect(new Set([original, ...others]).size).toBe(5);
  });

  it('hashes every byte, and no time, when asked to', () => {
    const one = content.slice();
    one[250_001]! ^= 1;
    const original = contentIdentity(write('h.fits', content), true);
    expect(contentIdentity(write('i.fits', one), true)).not.toBe(original);
    expect(contentIdentity(write('j.fits', content, new Date()), true)).toBe(original);
  });

  it('copes with an empty and a tiny file, and throws on a missing one', () => {
    expect(contentIdentity(write('k.fits', new Uint8Array()))).toMatch(/^[0-9a-f]{64}$/);
    expect(contentIdentity(write('l.fits', content.slice(0, 10)))).toMatch(/^[0-9a-f]{64}$/);
    expect(() => contentIdentity(join(folder, 'missing'))).toThrow();
  });

  it.skipIf(process.platform === 'win32')('refuses a pipe at once, and a folder', () => {
    const pipe = join(folder, 'pipe.fits');
    execFileSync('mkfifo', [pipe]);
    expect(() => contentIdentity(pipe)).toThrow(RangeError);
    expect(() => contentIdentity(folder)).toThrow(RangeError);
  });
});
