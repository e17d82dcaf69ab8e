import { describe, expect, it, vi } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { startProgress } from '../../src/cli/progress.js';

const context = (interactive: boolean): CliContext => ({ interactive }) as unknown as CliContext;

describe('the progress of a run', () => {
  it('writes nothing where stderr is no terminal', async () => {
    const written = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    const progress = await startProgress(context(false));
    progress.update({ done: 1, total: 2, file: 'a.fits' });
    progress.stop();
    expect(written).not.toHaveBeenCalled();
    written.mockRestore();
  });

  it('can be stopped before anything was done', async () => {
    const progress = await startProgress(context(true));
    expect(() => progress.stop()).not.toThrow();
  });
});
