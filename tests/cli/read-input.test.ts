import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readInput } from '../../src/cli/read-input.js';

const cwd = mkdtempSync(join(tmpdir(), 'starassay-input-'));
afterAll(() => rmSync(cwd, { recursive: true, force: true }));
const context = { cwd, readStdin: async () => 'from the stream' };

describe('readInput', () => {
  it('reads a file relative to the working folder, and standard input for a dash', async () => {
    writeFileSync(join(cwd, 'a.json'), '{}');
    expect(await readInput('a.json', 'x', context)).toBe('{}');
    expect(await readInput('-', 'x', context)).toBe('from the stream');
  });

  it('names the file and says what is wanted when it cannot be read', async () => {
    await expect(readInput('no.json', 'Give a document.', context)).rejects.toMatchObject({
      code: 'usage',
      message: expect.stringContaining('no.json'),
      remedy: 'Give a document.',
    });
  });
});
