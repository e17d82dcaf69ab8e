import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

interface Manifest {
  readonly name?: string;
  readonly version?: string;
}

/** The manifest in a folder; empty where there is none that can be read. */
function manifestIn(folder: string): Manifest {
  try {
    return JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Manifest;
  } catch {
    return {};
  }
}

/** The nearest folder upwards with this package's own manifest: sources, compiled modules and bundles lie at different depths below it. */
function findRoot(): { readonly folder: string; readonly version: string } {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const { name, version } = manifestIn(folder);
    if (name === 'starassay') return { folder, version: version ?? '0.0.0' };
    const up = dirname(folder);
    if (up === folder) throw new Error('the package.json of starassay is missing: install it again');
    folder = up;
  }
}

const root = findRoot();

/** Folder of the package: what is built lies in its `dist`. */
export const packageRoot: string = root.folder;

/** Version of the package, from its package.json. */
export const version: string = root.version;
