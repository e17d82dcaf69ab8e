import { statSync } from 'node:fs';
import { availableParallelism, freemem } from 'node:os';
import { toErrorRecord } from '../errors.js';
import type { FrameJob, FrameOptions, FrameOutcome } from '../field/index.js';
import type { FrameAssessment, UnreadableFrame } from '../field/types.js';
import type { FrameKind } from '../fits/types.js';
import type { FoundFrame } from '../night/index.js';
import { createFrameRunner } from './frame-runner.js';
import type { JobRunner } from './worker-pool.js';

export interface FramesProgress {
  readonly done: number;
  readonly total: number;
  readonly file: string;
}

/** Remembers what was measured before; see `openFrameCache`. */
export interface FrameMemory {
  readonly recall: (job: FrameJob) => FrameOutcome | null;
  readonly remember: (job: FrameJob, outcome: FrameOutcome) => void;
}

export interface AssessFramesOptions {
  readonly frame: FrameOptions;
  /** Number of threads; null = as many as cores and memory allow; 0 = on the calling thread. */
  readonly threads: number | null;
  readonly signal: AbortSignal | null;
  readonly onProgress: ((progress: FramesProgress) => void) | null;
  readonly memory: FrameMemory | null;
}

/** What became of the files, each list in the order the files were given. */
export interface AssessedFrames {
  readonly frames: readonly FrameAssessment[];
  readonly unreadable: readonly UnreadableFrame[];
  readonly setAside: readonly { readonly file: string; readonly kind: FrameKind }[];
}

/** Peak memory of a thread over the size of the file it measures: pixels, header, maps and the pictures' scratch. */
const memoryPerFileByte = 4;

/** Bytes of a file; 1 when that can't be told (gone, a link in a circle): reading it will say why. */
function bytesOf(path: string): number {
  try {
    return statSync(path).size;
  } catch {
    return 1;
  }
}

/** As many threads as cores, files and half of the free memory allow; at least one. */
export function chooseThreadCount(paths: readonly string[]): number {
  let largest = 1;
  for (const path of paths) largest = Math.max(largest, bytesOf(path));
  const byMemory = Math.floor((0.5 * freemem()) / (memoryPerFileByte * largest));
  return Math.max(1, Math.min(availableParallelism(), paths.length, byMemory));
}

/**
 * Measure many files, in worker threads that live for the whole run. A file that cannot be read, or whose thread dies, becomes an
 * entry of `unreadable`; the others go on. An aborted signal ends the threads and rejects with its reason.
 */
export async function assessFrames(
  found: readonly FoundFrame[],
  options: AssessFramesOptions,
): Promise<AssessedFrames> {
  const threads = options.threads ?? chooseThreadCount(found.map((frame) => frame.path));
  const jobs = found.map((frame): FrameJob => ({
    path: frame.path,
    file: frame.file,
    options: options.frame,
  }));
  const outcomes: (FrameOutcome | UnreadableFrame)[] = new Array(jobs.length);

  // Threads start only when something is left to measure: a remembered night needs none.
  let runner: JobRunner<FrameJob, FrameOutcome> | null = null;
  const stop = (): void => void runner?.close();
  options.signal?.addEventListener('abort', stop, { once: true });

  let done = 0;
  try {
    await Promise.all(
      jobs.map(async (job, i) => {
        try {
          let outcome = options.memory?.recall(job) ?? null;
          if (outcome === null) {
            options.signal?.throwIfAborted();
            runner ??= createFrameRunner(threads);
            outcome = await runner.run(job);
            options.memory?.remember(job, outcome);
          }
          outcomes[i] = outcome;
        } catch (error) {
          outcomes[i] = { file: job.file, error: toErrorRecord(error, job.file) };
        }
        if (options.signal?.aborted) return;
        options.onProgress?.({ done: ++done, total: jobs.length, file: job.file });
      }),
    );
    options.signal?.throwIfAborted();
  } finally {
    options.signal?.removeEventListener('abort', stop);
    await (runner as JobRunner<FrameJob, FrameOutcome> | null)?.close();
  }

  const frames: FrameAssessment[] = [];
  const unreadable: UnreadableFrame[] = [];
  const setAside: { file: string; kind: FrameKind }[] = [];
  for (const outcome of outcomes) {
    if ('error' in outcome) unreadable.push(outcome);
    else if (outcome.outcome === 'assessed') frames.push(outcome.frame);
    else setAside.push({ file: outcome.file, kind: outcome.kind });
  }
  return { frames, unreadable, setAside };
}
