import { readFileSync } from 'node:fs';

function findVersion(): string {
  // src/ and dist/src/ lie at different depths below package.json.
  for (const up of ['../package.json', '../../package.json']) {
    try {
      const manifest = JSON.parse(readFileSync(new URL(up, import.meta.url), 'utf8')) as {
        name?: string;
        version?: string;
      };
      if (manifest.name === 'starassay' && manifest.version) return manifest.version;
    } catch {
      // not at this depth: try the next
    }
  }
  return '0.0.0';
}

/** Version of the package, from its package.json. */
export const version: string = findVersion();
