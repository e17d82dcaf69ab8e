import type { Worker } from 'node:worker_threads';
import ThreadPool from 'worker-threads-pool';
import { fromErrorRecord, StarassayError } from '../errors.js';
import type { AnswerMessage, JobMessage } from './messages.js';

/**
 * Young objects of a thread at most, MB. Left alone the engine lets them grow to 48 MB before it looks for garbage: memory that every thread would hold on to, and
 * that pushes pixels out of the processor's cache.
 */
const YOUNG_GENERATION_MB = 4;

/** Runs jobs and hides where: callers see a promise for each. */
export interface JobRunner<Job, Result> {
  readonly run: (job: Job) => Promise<Result>;
  /** End every worker; jobs still waiting are rejected as cancelled. Safe to call twice. */
  readonly close: () => Promise<void>;
}

interface Pending<Job, Result> {
  readonly job: Job;
  readonly resolve: (result: Result) => void;
  readonly reject: (error: Error) => void;
}

interface Seat<Job, Result> {
  readonly worker: Worker;
  current: { readonly id: number; readonly pending: Pending<Job, Result> } | null;
}

/**
 * A pool of long-lived threads: each is acquired once and fed many jobs, one at a time. A thread that dies costs the job it held
 * (rejected with code `worker-lost`) and is replaced. Errors cross the thread border as plain data.
 *
 * @param workerFile absolute path of the compiled worker entry (see `serveJobs`)
 * @param size number of threads, >= 1
 * @param nameJob names a job in the message when its thread is lost
 * @param onNext told of the job that will be handed out next, while the threads are at work on those before it
 */
export function createWorkerPool<Job, Result>(
  workerFile: string,
  size: number,
  nameJob: (job: Job) => string,
  onNext: (job: Job) => void = () => undefined,
): JobRunner<Job, Result> {
  if (!Number.isInteger(size) || size < 1)
    throw new RangeError(`pool size must be a whole number >= 1, got ${size}`);
  const threads = new ThreadPool({ max: size });
  const seats = new Set<Seat<Job, Result>>();
  const waiting: Pending<Job, Result>[] = [];
  let starting = 0;
  let nextId = 1;
  let closed = false;

  const cancelled = (job: Job): StarassayError =>
    new StarassayError(
      'cancelled',
      `${nameJob(job)}: not measured, the run was stopped`,
      'Run the command again to measure it.',
    );

  function hand(seat: Seat<Job, Result>): void {
    const pending = waiting.shift();
    if (!pending) return;
    const id = nextId++;
    seat.current = { id, pending };
    const message: JobMessage<Job> = { id, job: pending.job };
    seat.worker.postMessage(message);
    if (waiting.length > 0) onNext(waiting[0].job);
  }

  function seatWorker(): void {
    starting++;
    threads.acquire(
      workerFile,
      { resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB } },
      (error, worker) => {
        starting--;
        if (error) {
          waiting.shift()?.reject(error);
          return;
        }
        if (closed) {
          void worker.terminate();
          return;
        }
        const seat: Seat<Job, Result> = { worker, current: null };
        let failure: Error | null = null;
        seats.add(seat);
        worker.on('error', (cause) => {
          failure = cause instanceof Error ? cause : new Error(String(cause));
        });
        worker.on('exit', (code) => {
          seats.delete(seat);
          const lost = seat.current?.pending;
          seat.current = null;
          if (!lost) return;
          if (closed) lost.reject(cancelled(lost.job));
          else {
            const why = failure ? failure.message : `it ended with code ${code}`;
            lost.reject(
              new StarassayError(
                'worker-lost',
                `${nameJob(lost.job)}: the thread that measured it died (${why})`,
                'The other frames are not affected. Try this frame by itself with `starassay measure`; a frame too large for the memory is the usual cause.',
              ),
            );
            fill();
          }
        });
        worker.on('message', (answer: AnswerMessage<Result>) => {
          if (seat.current?.id !== answer.id) return;
          const { pending } = seat.current;
          seat.current = null;
          // The next job leaves before this result is used, so that the thread is never idle.
          hand(seat);
          if ('error' in answer) pending.reject(fromErrorRecord(answer.error));
          else pending.resolve(answer.result);
        });
        hand(seat);
      },
    );
  }

  /** Give waiting jobs to idle threads and start threads that are still missing. */
  function fill(): void {
    for (const seat of seats) if (!seat.current) hand(seat);
    while (waiting.length > starting && seats.size + starting < size) seatWorker();
  }

  return {
    run: (job) =>
      new Promise<Result>((resolve, reject) => {
        if (closed) {
          reject(cancelled(job));
          return;
        }
        waiting.push({ job, resolve, reject });
        fill();
      }),
    close: async () => {
      closed = true;
      for (const { job, reject } of waiting.splice(0)) reject(cancelled(job));
      await Promise.all([...seats].map((seat) => seat.worker.terminate()));
    },
  };
}
