import { describe, expect, it } from 'vitest';
import { createInlineRunner } from '../../src/pool/inline-runner.js';

describe('createInlineRunner', () => {
  it('runs one job after the other, in order', async () => {
    const log: string[] = [];
    const runner = createInlineRunner(async (n: number) => {
      log.push(`start ${n}`);
      await new Promise((resolve) => setTimeout(resolve, 5 - n));
      log.push(`end ${n}`);
      return n;
    });
    expect(await Promise.all([runner.run(1), runner.run(2)])).toEqual([1, 2]);
    expect(log).toEqual(['start 1', 'end 1', 'start 2', 'end 2']);
    await runner.close();
  });

  it('goes on after a job that failed', async () => {
    const runner = createInlineRunner(async (n: number) => {
      if (n === 1) throw new Error('no');
      return n;
    });
    const settled = await Promise.allSettled([runner.run(1), runner.run(2)]);
    expect(settled.map((s) => s.status)).toEqual(['rejected', 'fulfilled']);
  });
});
