import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { packageRoot, version } from '../src/package-root.js';

describe('the package', () => {
  it('is found from its sources, with the version its manifest states', () => {
    expect(packageRoot).toBe(fileURLToPath(new URL('..', import.meta.url)).replace(/\/$/, ''));
    const manifest = JSON.parse(readFileSync(join(packageRoot, 'package.json'), 'utf8')) as object;
    expect(manifest).toMatchObject({ name: 'starassay', version });
  });
});
