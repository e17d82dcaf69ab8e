import type { MessagePort } from 'node:worker_threads';
import { toErrorRecord } from '../errors.js';
import type { AnswerMessage, JobMessage } from './messages.js';

/**
 * The worker's side of `createWorkerPool`: answer every job that arrives on the port, errors as plain data.
 *
 * @param port the worker's parentPort
 * @param run does one job
 * @param transferables lists the buffers of a result that may move instead of being copied
 */
export function serveJobs<Job, Result>(
  port: MessagePort,
  run: (job: Job) => Promise<Result>,
  transferables: (result: Result) => readonly ArrayBuffer[] = () => [],
): void {
  port.on('message', (message: JobMessage<Job>) => {
    void run(message.job)
      .then((result) => {
        const answer: AnswerMessage<Result> = { id: message.id, result };
        port.postMessage(answer, [...transferables(result)]);
      })
      .catch((error: unknown) => {
        const answer: AnswerMessage<Result> = { id: message.id, error: toErrorRecord(error) };
        port.postMessage(answer);
      });
  });
}
