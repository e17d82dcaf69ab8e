import { MessageChannel } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { FitsFormatError } from '../../src/errors.js';
import { serveJobs } from '../../src/pool/serve-jobs.js';

function ask<Job>(run: (job: Job) => Promise<unknown>, job: Job): Promise<unknown> {
  const { port1, port2 } = new MessageChannel();
  serveJobs(port2, run);
  return new Promise((resolve) => {
    port1.once('message', (answer) => {
      port1.close();
      resolve(answer);
    });
    port1.postMessage({ id: 9, job });
  });
}

describe('serveJobs', () => {
  it('answers with the result under the same id', async () => {
    expect(await ask(async (n: number) => n + 1, 4)).toEqual({ id: 9, result: 5 });
  });

  it('answers a typed error as plain data', async () => {
    const run = async (): Promise<never> => {
      throw new FitsFormatError('x.fits: no END card', 'copy it again', 'x.fits');
    };
    expect(await ask(run, 0)).toEqual({
      id: 9,
      error: { code: 'fits-format', message: 'x.fits: no END card', remedy: 'copy it again', file: 'x.fits' },
    });
  });

  it('answers a bug with code internal instead of dying', async () => {
    const run = async (): Promise<never> => {
      throw new TypeError('cannot read properties of undefined');
    };
    expect(await ask(run, 0)).toMatchObject({ id: 9, error: { code: 'internal' } });
  });
});
