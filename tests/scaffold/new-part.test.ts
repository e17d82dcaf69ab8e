import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { newPart, partKinds } from './new-part.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const read = (path: string): string | null =>
  existsSync(join(root, path)) ? readFileSync(join(root, path), 'utf8') : null;

describe('npm run new', () => {
  it.each(partKinds)('makes source, registry line and test of a %s', (kind) => {
    const files = newPart(kind, 'made-up', read);
    const [source, test, registry] = files;
    expect(source!.path).toMatch(/^src\/.*\/made-up\.ts$|^src\/cli\/made-up\.ts$/);
    expect(test!.path).toBe(source!.path.replace('src', 'tests').replace('.ts', '.test.ts'));
    expect(test!.text).toContain('expect.fail');
    const before = read(registry!.path)!;
    const added = registry!.text.split('\n').filter((line) => !before.split('\n').includes(line));
    expect(added).toHaveLength(2);
    expect(added[0]).toContain("from './made-up.js'");
    expect(registry!.text.trimEnd().endsWith(`${added[1]}\n];`)).toBe(true);
  });

  it('adds the code of a cause to the vocabulary', () => {
    const types = newPart('cause', 'made-up', read).at(-1)!;
    expect(types.text).toContain("  | 'seeing'\n  | 'made-up';");
  });

  it('refuses names that are taken or no names', () => {
    expect(() => newPart('cause', 'dew', read)).toThrow(/there already/);
    expect(() => newPart('cause', '../dew', read)).toThrow(/not a name/);
    expect(() => newPart('panel', 'Dew', read)).toThrow(/not a name/);
  });

  it('says so when a registry is not as expected', () => {
    expect(() => newPart('panel', 'made-up', () => null)).toThrow(/no list/);
  });
});
