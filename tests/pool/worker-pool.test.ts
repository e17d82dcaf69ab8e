import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createWorkerPool } from '../../src/pool/worker-pool.js';

interface Job {
  readonly n: number;
  readonly what: 'square' | 'fail' | 'throw' | 'exit' | 'wait';
}

let folder: string;
let workerFile: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'starassay-pool-'));
  workerFile = join(folder, 'worker.mjs');
  // Speaks the protocol of `serveJobs` by hand, with the misbehaviour that a test needs.
  writeFileSync(
    workerFile,
    `import { parentPort, threadId } from 'node:worker_threads';
     parentPort.on('message', ({ id, job }) => {
       if (job.what === 'square') parentPort.postMessage({ id, result: { value: job.n * job.n, threadId } });
       else if (job.what === 'fail') parentPort.postMessage({ id, error: { code: 'fits-format', message: 'bad ' + job.n, remedy: 'mend it', file: 'f' } });
       else if (job.what === 'throw') throw new Error('boom');
       else if (job.what === 'exit') process.exit(7);
     });`,
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const open = (size: number) =>
  createWorkerPool<Job, { value: number; threadId: number }>(workerFile, size, (job) => `job ${job.n}`);

describe('createWorkerPool', () => {
  it('feeds many jobs to few long-lived threads', async () => {
    const pool = open(2);
    const results = await Promise.all(Array.from({ length: 40 }, (_, n) => pool.run({ n, what: 'square' })));
    expect(results.map((r) => r.value)).toEqual(Array.from({ length: 40 }, (_, n) => n * n));
    expect(new Set(results.map((r) => r.threadId)).size).toBeLessThanOrEqual(2);
    await pool.close();
  });

  it('tells the job that comes next while others are at work', async () => {
    const next: number[] = [];
    const pool = createWorkerPool<Job, unknown>(
      workerFile,
      1,
      (job) => `job ${job.n}`,
      (job) => void next.push(job.n),
    );
    await Promise.all([0, 1, 2].map((n) => pool.run({ n, what: 'square' })));
    expect(next).toEqual([1, 2]);
    await pool.close();
  });

  it('brings an error back with code, remedy and file', async () => {
    const pool = open(1);
    await expect(pool.run({ n: 3, what: 'fail' })).rejects.toMatchObject({
      code: 'fits-format',
      message: 'bad 3',
      remedy: 'mend it',
      file: 'f',
    });
    await pool.close();
  });

  it.each(['throw', 'exit'] as const)('a thread that dies by %s costs its own job only', async (what) => {
    const pool = open(2);
    const jobs = Array.from({ length: 12 }, (_, n) => pool.run({ n, what: n === 4 ? what : 'square' }));
    const settled = await Promise.allSettled(jobs);
    expect(settled.filter((s) => s.status === 'rejected').length).toBe(1);
    expect(settled[4]).toMatchObject({ status: 'rejected', reason: { code: 'worker-lost' } });
    expect((settled[4] as PromiseRejectedResult).reason.message).toContain('job 4');
    await pool.close();
  });

  it('survives every thread dying at once', async () => {
    const pool = open(2);
    await Promise.allSettled([pool.run({ n: 0, what: 'exit' }), pool.run({ n: 1, what: 'exit' })]);
    await expect(pool.run({ n: 5, what: 'square' })).resolves.toMatchObject({ value: 25 });
    await pool.close();
  });

  it('rejects what is waiting and running when it is closed', async () => {
    const pool = open(1);
    const running = pool.run({ n: 1, what: 'wait' });
    const waiting = pool.run({ n: 2, what: 'square' });
    const settled = Promise.allSettled([running, waiting]);
    await new Promise((resolve) => setTimeout(resolve, 100));
    await pool.close();
    for (const s of await settled)
      expect(s).toMatchObject({ status: 'rejected', reason: { code: 'cancelled' } });
    await expect(pool.run({ n: 3, what: 'square' })).rejects.toMatchObject({ code: 'cancelled' });
  });

  it('a missing worker file costs the jobs, not the process', async () => {
    const pool = createWorkerPool<Job, number>(join(folder, 'no-such-file.mjs'), 1, (job) => `job ${job.n}`);
    const settled = await Promise.allSettled([
      pool.run({ n: 1, what: 'square' }),
      pool.run({ n: 2, what: 'square' }),
    ]);
    for (const s of settled) expect(s).toMatchObject({ status: 'rejected', reason: { code: 'worker-lost' } });
    await pool.close();
  });

  it('refuses a size below one', () => {
    expect(() => open(0)).toThrow(RangeError);
    expect(() => open(1.5)).toThrow(RangeError);
  });
});
