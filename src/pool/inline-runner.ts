import type { JobRunner } from './worker-pool.js';

/** The same jobs on the calling thread, one after the other (pool size 0): for embedding, debugging and tests. */
export function createInlineRunner<Job, Result>(run: (job: Job) => Promise<Result>): JobRunner<Job, Result> {
  let last: Promise<unknown> = Promise.resolve();
  return {
    run: (job) => {
      const result = last.then(() => run(job));
      last = result.catch(() => undefined);
      return result;
    },
    close: async () => {
      await last;
    },
  };
}
