import { existsSync, linkSync, mkdtempSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { isLeftoverOf, moveFile, nameIsTaken } from '../../src/night/move-file.js';

let folder: string;
const at = (name: string): string => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-move-'));
});

describe('moveFile', () => {
  it('moves bytes and time', async () => {
    writeFileSync(at('a'), 'light');
    const { mtimeMs } = statSync(at('a'));
    await moveFile(at('a'), at('b'));
    expect(existsSync(at('a'))).toBe(false);
    expect(readFileSync(at('b'), 'utf8')).toBe('light');
    expect(statSync(at('b')).mtimeMs).toBe(mtimeMs);
  });

  it('never writes over a file', async () => {
    writeFileSync(at('a'), 'mine');
    writeFileSync(at('b'), 'other');
    await expect(moveFile(at('a'), at('b'))).rejects.toThrow(/never overwritten|ever overwritten/);
    expect(readFileSync(at('a'), 'utf8')).toBe('mine');
    expect(readFileSync(at('b'), 'utf8')).toBe('other');
  });

  it.skipIf(!existsSync('/dev/shm') || statSync('/dev/shm').dev === statSync(tmpdir()).dev)(
    'copies, compares and only then removes across file systems (skipped without a second one)',
    async () => {
      const other = mkdtempSync('/dev/shm/starassay-move-');
      writeFileSync(at('a'), Buffer.alloc(200_000, 7));
      await moveFile(at('a'), join(other, 'a'));
      expect(existsSync(at('a'))).toBe(false);
      expect(readFileSync(join(other, 'a')).equals(Buffer.alloc(200_000, 7))).toBe(true);
      writeFileSync(at('a'), 'new');
      await expect(moveFile(at('a'), join(other, 'a'))).rejects.toThrow(/overwritten/);
      expect(readFileSync(at('a'), 'utf8')).toBe('new');
      await moveFile(join(other, 'a'), at('b'));
    },
  );

  it('leaves things as they are when the source is missing', async () => {
    await expect(moveFile(at('none'), at('b'))).rejects.toThrow();
    expect(await nameIsTaken(at('b'))).toBe(false);
  });
});

it('isLeftoverOf knows a link, a part and a foreign file', async () => {
  writeFileSync(at('whole'), 'abcdef');
  writeFileSync(at('part'), 'abc');
  writeFileSync(at('other'), 'abX');
  writeFileSync(at('longer'), 'abcdefg');
  linkSync(at('whole'), at('link'));
  expect(await isLeftoverOf(at('link'), at('whole'))).toBe(true);
  expect(await isLeftoverOf(at('part'), at('whole'))).toBe(true);
  expect(await isLeftoverOf(at('other'), at('whole'))).toBe(false);
  expect(await isLeftoverOf(at('longer'), at('whole'))).toBe(false);
});
