import { describe, expect, it } from 'vitest';
import type { JudgedNight } from '../../../src/night/index.js';
import { defaultLimits } from '../../../src/night/index.js';
import type { JudgedFrame } from '../../../src/night/types.js';
import { decideByHistory } from '../../../src/rig/verdict/decide-by-history.js';
import { rigNormals } from '../../../src/rig/normals.js';
import { madeNight, madeStore, onlyRig, wobble } from '../made-history.js';

const normals = (() => {
  const store = madeStore(wobble(20).map((v) => ({ fwhmArcsec: 2.5 + 0.1 * v })));
  const made = rigNormals(store, onlyRig(store));
  store.close();
  return made;
})();
const limit = Math.max(normals.figures['fwhm-zenith']!.high, 1.25 * normals.figures['fwhm-zenith']!.median);

function judged(fwhms: readonly (number | null)[], airmass = 1): JudgedNight {
  const frames = madeNight('2026-03-01', { frames: fwhms.length, airmass }).frames.map((frame, i) => ({
    ...frame,
    group: 'L',
    decision: 'keep',
    reasons: [],
    fwhm: { ...frame.fwhm, arcsec: fwhms[i] },
  })) as unknown as JudgedFrame[];
  const better = [...fwhms].filter((value) => value !== null).sort((a, b) => a - b);
  const reference = {
    fwhmPx: null,
    fwhmArcsec: better[0] ?? null,
    elongation: null,
    level: null,
    noise: null,
  };
  return {
    frames,
    warnings: [],
    groups: [{ name: 'L', frames: fwhms.length, kept: fwhms.length, reference }],
  };
}

describe('frames against the rig’s history', () => {
  it('rejects the soft frames of a group whose best half is softer than is normal for the rig', () => {
    const after = decideByHistory(judged([5.5, 5.6, limit - 0.1, null].reverse()), normals, defaultLimits);
    // The reference is the best frame here, which is usual: the group judges itself.
    expect(after.groups[0].kept).toBe(4);
    const soft = decideByHistory(judged([5.5, 5.6, null]), normals, defaultLimits);
    expect(soft.frames.map((frame) => frame.decision)).toEqual(['reject', 'reject', 'keep']);
    expect(soft.groups[0].kept).toBe(1);
    expect(soft.frames[0].reasons[0]).toMatchObject({ code: 'fwhm', value: 5.5 });
    expect(soft.frames[0].reasons[0].limit).toBeCloseTo(limit, 9);
    expect(soft.frames[0].reasons[0].message).toMatch(/that this rig usually keeps to \(20 nights\)/);
  });

  it('allows for altitude: the same width low over the horizon is usual', () => {
    const night = judged([limit + 0.2, limit + 0.2], 2.5);
    expect(decideByHistory(night, normals, defaultLimits)).toBe(night);
  });

  it('adds its reason to a frame that was rejected already', () => {
    const night = judged([5.5]);
    const reason = { code: 'elongation' as const, message: 'long', value: 1.5, limit: 1.35 };
    const frames = night.frames.map((frame) => ({
      ...frame,
      decision: 'reject' as const,
      reasons: [reason],
    }));
    const after = decideByHistory({ ...night, frames }, normals, defaultLimits);
    expect(after.frames[0].reasons.map(({ code }) => code)).toEqual(['elongation', 'fwhm']);
  });

  it('leaves the night alone without a normal FWHM, or when the limit on FWHM is off', () => {
    const night = judged([5.5]);
    expect(decideByHistory(night, normals, { ...defaultLimits, fwhmFactor: null })).toBe(night);
    expect(decideByHistory(night, { ...normals, figures: {} }, defaultLimits)).toBe(night);
  });
});
