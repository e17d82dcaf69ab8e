import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { defaultFrameOptions, type FrameJob } from '../../src/field/index.js';
import { createFrameRunner } from '../../src/pool/frame-runner.js';
import { sampleNight } from '../cli/run-command.js';

const file = 'heron-field_L_120s_001.fits';
const job: FrameJob = { path: join(sampleNight, file), file, options: defaultFrameOptions };

describe('what measures frames', () => {
  it('gives equal figures from a worker thread and from the calling thread', async () => {
    const [inline, pooled] = [createFrameRunner(0), createFrameRunner(1)];
    const [here, there] = await Promise.all([inline.run(job), pooled.run(job)]);
    await Promise.all([inline.close(), pooled.close()]);
    const untimed = (outcome: object): unknown =>
      JSON.parse(JSON.stringify(outcome, (key, value: unknown) => (key === 'elapsedMs' ? undefined : value)));
    expect(untimed(there)).toEqual(untimed(here));
  });

  it('rejects with the words and code of the error, whichever thread it arose on', async () => {
    for (const threads of [0, 1]) {
      const runner = createFrameRunner(threads);
      await expect(runner.run({ ...job, path: join(sampleNight, 'truth.json') })).rejects.toMatchObject({
        code: 'fits-format',
        file: expect.stringContaining('truth.json'),
      });
      await runner.close();
    }
  });
});
