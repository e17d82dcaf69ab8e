import { join } from 'node:path';
import type { FrameJob, FrameOutcome } from '../field/index.js';
import { packageRoot } from '../package-root.js';
import { createInlineRunner } from './inline-runner.js';
import { readAhead } from './read-ahead.js';
import { createWorkerPool, type JobRunner } from './worker-pool.js';

/** The built worker entry, also for sources that run by themselves: a thread starts from compiled code. */
const workerFile = join(packageRoot, 'dist/workers/assess-frame.js');

/** Something that measures frames: a pool of worker threads, fed from files read ahead, or, with 0 threads, the calling thread itself. */
export function createFrameRunner(threads: number): JobRunner<FrameJob, FrameOutcome> {
  if (threads === 0) {
    return createInlineRunner(async (job) => {
      const { assessFrame } = await import('../field/frame/index.js');
      return assessFrame(job);
    });
  }
  const closing = new AbortController();
  const pool = createWorkerPool<FrameJob, FrameOutcome>(
    workerFile,
    threads,
    (job) => job.file,
    (next) => void readAhead(next.path, closing.signal),
  );
  return {
    run: pool.run,
    close: () => {
      closing.abort();
      return pool.close();
    },
  };
}
