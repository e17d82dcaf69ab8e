import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

// NASA's fitsverify (Debian: fitsverify) judges the frames that `simulate` wrote against the FITS Standard.
const frames = fileURLToPath(new URL('../../../sample-frames/', import.meta.url));
const here = spawnSync('fitsverify', ['-q', '/dev/null']).error === undefined;

describe.skipIf(!here)(
  here ? 'fitsverify' : 'fitsverify is not installed: written frames are not judged',
  () => {
    it('approves every frame of the sample night', () => {
      const names = readdirSync(frames).filter((name) => name.endsWith('.fits'));
      expect(names.length).toBeGreaterThan(10);
      for (const name of names) {
        const { stdout } = spawnSync('fitsverify', ['-q', frames + name], { encoding: 'utf8' });
        expect(stdout.trim()).toMatch(/^verification OK/);
      }
    });
  },
);
