import type { ErrorRecord } from '../errors.js';

/** A job on its way to a worker. */
export interface JobMessage<Job> {
  readonly id: number;
  readonly job: Job;
}

/** A worker's answer: exactly one for each job. */
export type AnswerMessage<Result> =
  { readonly id: number; readonly result: Result } | { readonly id: number; readonly error: ErrorRecord };
