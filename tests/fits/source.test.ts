import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bytesSource, fileSource } from '../../src/fits/source.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-source-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const bytes = Uint8Array.from({ length: 100 }, (_, i) => i);
writeFileSync(join(folder, 'a.bin'), bytes);

describe.each([
  ['file', () => fileSource(join(folder, 'a.bin'))],
  ['bytes', () => bytesSource('a.bin', bytes)],
])('a source of %s', (_, open) => {
  it('reads at any position, and less at the end', () => {
    const source = open();
    const target = new Uint8Array(10);
    expect(source.size).toBe(100);
    expect(source.read(target, 40)).toBe(10);
    expect([...target]).toEqual([40, 41, 42, 43, 44, 45, 46, 47, 48, 49]);
    expect(source.read(target, 95)).toBe(5);
    expect(source.read(target, 200)).toBe(0);
    source.close();
    source.close();
  });
});
