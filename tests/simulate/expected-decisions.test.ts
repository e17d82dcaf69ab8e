import { describe, expect, it } from 'vitest';
import { compareFrames } from '../../src/simulate/expected-decisions.js';
import type { LoneFrameTruth } from '../../src/simulate/frame-truth.js';

const frame = (changes: {
  fwhm?: number;
  elongation?: number;
  transparency?: number;
  noise?: number;
  filter?: string;
}): LoneFrameTruth =>
  ({
    filter: changes.filter ?? 'L',
    fwhm: { px: changes.fwhm ?? 3, arcsec: 3 },
    elongation: changes.elongation ?? 1.05,
    transparency: changes.transparency ?? 0.9,
    background: {
      level: 1000,
      noise: changes.noise ?? 10,
      gradientPercent: 0,
      gradientDirectionDeg: 0,
      vignettingPercent: 0,
    },
  }) as LoneFrameTruth;

describe('compareFrames', () => {
  it('keeps a plain night and says how far the limits are', () => {
    const frames = compareFrames([frame({}), frame({}), frame({ fwhm: 3.3 })]);
    expect(frames.map((f) => f.expected.decision)).toEqual(['keep', 'keep', 'keep']);
    expect(frames[2].expected.margin).toBeCloseTo(1 - 3.3 / 3.75, 10);
    expect(frames[0].weight).toBe(1);
    expect(frames[2].weight).toBeCloseTo((3 / 3.3) ** 2, 10);
  });

  it('rejects soft, trailed, dimmed and noisy frames, each for its reason', () => {
    const frames = compareFrames([
      frame({}),
      frame({}),
      frame({}),
      frame({}),
      frame({ fwhm: 4.2 }),
      frame({ elongation: 1.5 }),
      frame({ transparency: 0.45 }),
      frame({ noise: 25 }),
    ]);
    expect(frames.slice(4).map((f) => f.expected.reasons)).toEqual([
      ['fwhm'],
      ['elongation'],
      ['transparency', 'weight'],
      ['weight'],
    ]);
    expect(frames[4].expected.margin).toBeCloseTo(4.2 / 3.75 - 1, 10);
    expect(frames[6].transparency).toBe(0.5);
  });

  it('judges each filter by itself', () => {
    const frames = compareFrames([
      frame({}),
      frame({}),
      frame({ filter: 'R', fwhm: 5 }),
      frame({ filter: 'R', fwhm: 5 }),
    ]);
    expect(frames.every((f) => f.expected.decision === 'keep')).toBe(true);
  });
});
