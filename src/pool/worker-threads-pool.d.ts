declare module 'worker-threads-pool' {
  import type { Worker, WorkerOptions } from 'node:worker_threads';

  /** Caps the number of live workers; an `acquire` over the cap waits until one exits. */
  export default class Pool {
    constructor(options?: { max?: number; maxWaiting?: number });
    readonly size: number;
    acquire(
      filename: string | URL,
      options: WorkerOptions | undefined,
      callback: (error: Error | null, worker: Worker) => void,
    ): void;
    destroy(callback?: () => void): void;
  }
}
