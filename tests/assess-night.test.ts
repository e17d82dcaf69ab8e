import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { assessNight, concludeNight } from '../src/assess-night.js';
import { defaultLimits } from '../src/night/index.js';
import { sampleNight } from './cli/run-command.js';

const subs = [1, 2, 3, 5].map((n) => join(sampleNight, `heron-field_L_120s_00${n}.fits`));

describe('the whole way of the data', () => {
  it('goes from files to decisions and causes, and the same record concludes the same way again', async () => {
    const night = await assessNight(subs, { threads: 0, overrides: new Map() });
    expect(night.frames.map((frame) => frame.decision)).toEqual(['keep', 'keep', 'keep', 'reject']);
    expect(night.night.causes.map((cause) => cause.code)).toContain('guiding-trail');
    expect(night.night.summary).toMatchObject({ frames: 4, kept: 3, rejected: 1 });

    const lenient = concludeNight(
      { frames: night.frames, unreadable: [], setAside: [] },
      { ...defaultLimits, elongation: null, fwhmFactor: null },
    );
    expect(lenient.frames.at(-1)!.decision).toBe('keep');
    const overruled = concludeNight(
      { frames: night.frames, unreadable: [], setAside: [] },
      defaultLimits,
      new Map([[night.frames[0]!.file, 'reject' as const]]),
    );
    expect(overruled.frames[0]!.decision).toBe('reject');
    expect(overruled.frames[0]!.reasons[0]!.code).toBe('overruled');
  });

  it('refuses a path that is not there', async () => {
    await expect(assessNight(['no/such/night'], { cwd: sampleNight })).rejects.toMatchObject({
      code: 'usage',
    });
  });

  it('stops when told to', async () => {
    const signal = AbortSignal.abort(new Error('enough'));
    await expect(assessNight(subs, { threads: 0, signal })).rejects.toThrow('enough');
  });
});
