import { createHash } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import type { FrameJob, FrameOptions, FrameOutcome } from '../field/index.js';
import { packageRoot, version } from '../package-root.js';
import type { FrameMemory } from './assess-frames.js';
import { contentIdentity } from './content-identity.js';

export interface FrameCacheOptions {
  /** Folder of the cache; made when missing. */
  readonly folder: string;
  /** Hash every byte of a file instead of samples. */
  readonly wholeFile?: boolean;
  /** Total size above which the entries used longest ago go, bytes. */
  readonly mostBytes?: number;
}

const defaultMostBytes = 512 * 1024 * 1024;
/** Pictures take time: an entry that has more of them than asked for will do. */
const pictureLevels: readonly FrameOptions['pictures'][] = ['none', 'preview', 'all', 'corners'];

/** Folders whose code decides what is measured. */
const measuringFolders = ['kernels', 'fits', 'optics', 'stats', 'image', 'stars', 'field'];

/** Changes whenever the measuring code changes, so that no entry outlives the code that made it. */
function codeStamp(): string {
  const hash = createHash('sha256').update(version);
  // Modules are compiled one by one and bundled in one go: the former tell when the latter changed.
  const source = join(packageRoot, import.meta.url.endsWith('.ts') ? 'src' : 'dist/src');
  for (const folder of measuringFolders) {
    const names = readdirSync(join(source, folder), { encoding: 'utf8', recursive: true });
    // What lies beside the code (type declarations, source maps) measures nothing.
    for (const name of names
      .filter((name) => /\.(js|ts|wasm)$/.test(name) && !name.endsWith('.d.ts'))
      .sort()) {
      const { size, mtimeMs } = statSync(join(source, folder, name));
      hash.update(`${folder}/${name} ${size} ${mtimeMs}\n`);
    }
  }
  return hash.digest('hex');
}

/**
 * Remember measured frames between runs, one file an entry, found again by content (see `contentIdentity`), options and code.
 * The cache never fails a run: an entry that cannot be read or written counts as not there.
 */
export function openFrameCache(options: FrameCacheOptions): FrameMemory & { readonly trim: () => void } {
  const stamp = codeStamp();
  let hasGrown = false;

  function entryPath(job: FrameJob, pictures: FrameOptions['pictures']): string {
    const identity = contentIdentity(job.path, options.wholeFile);
    const key = createHash('sha256')
      .update(JSON.stringify([stamp, identity, { ...job.options, pictures }]))
      .digest('hex');
    return join(options.folder, key.slice(0, 2), `${key}.frame`);
  }

  function recall(job: FrameJob): FrameOutcome | null {
    for (const pictures of pictureLevels.slice(pictureLevels.indexOf(job.options.pictures))) {
      try {
        const path = entryPath(job, pictures);
        const outcome = deserialize(readFileSync(path)) as FrameOutcome;
        const now = new Date();
        utimesSync(path, now, now);
        if (outcome.outcome === 'set-aside') return { ...outcome, file: job.file };
        return { ...outcome, frame: { ...outcome.frame, file: job.file, path: job.path } };
      } catch {
        // Not remembered (or damaged, or the frame itself is gone): it will be measured.
      }
    }
    return null;
  }

  function remember(job: FrameJob, outcome: FrameOutcome): void {
    try {
      hasGrown = true;
      const path = entryPath(job, job.options.pictures);
      mkdirSync(join(path, '..'), { recursive: true });
      // Written beside and renamed, so that a reader never meets half an entry.
      const partial = `${path}.${Math.random().toString(36).slice(2)}`;
      writeFileSync(partial, serialize(outcome));
      renameSync(partial, path);
    } catch {
      // A full or read-only disk must not stop the night.
    }
  }

  function trim(): void {
    // Looking at every entry takes longer than all else of a night that is remembered.
    if (!hasGrown) return;
    try {
      const entries = readdirSync(options.folder, { recursive: true, encoding: 'utf8' })
        .map((name) => join(options.folder, name))
        .map((path) => ({ path, stat: statSync(path, { throwIfNoEntry: false }) }))
        .filter((entry) => entry.stat?.isFile())
        .sort((a, b) => b.stat!.mtimeMs - a.stat!.mtimeMs);
      let total = 0;
      for (const { path, stat } of entries) {
        total += stat!.size;
        if (total > (options.mostBytes ?? defaultMostBytes)) rmSync(path, { force: true });
      }
    } catch {
      // Nothing to trim yet.
    }
  }

  return { recall, remember, trim };
}
