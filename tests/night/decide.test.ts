import { describe, expect, it } from 'vitest';
import { decide, type GroupReference } from '../../src/night/decide.js';
import { defaultLimits } from '../../src/night/limits.js';
import { madeFrame, type MadeFrameOptions } from './made-frames.js';

const reference: GroupReference = { frames: 10, fwhmPx: 2, hfdPx: 2, weight: 0.9 };
const judge = (
  options: MadeFrameOptions,
  transparency: number | null = 1,
  weight: number | null = 0.9,
  limits = {},
) => decide(madeFrame('f', options), { transparency, weight }, reference, { ...defaultLimits, ...limits });

describe('decide', () => {
  it('keeps a good frame and names the figure nearest to its limit', () => {
    const { decision, reasons } = judge({ fwhmPx: 2.3 });
    expect(decision).toBe('keep');
    expect(reasons).toHaveLength(1);
    expect(reasons[0]).toMatchObject({ code: 'fwhm', value: expect.closeTo(3.45), limit: 3.75 });
  });

  it.each([
    ['fwhm', judge({ fwhmPx: 2.6 })],
    ['elongation', judge({ fwhmPx: 2, elongation: 1.5 })],
    ['transparency', judge({ fwhmPx: 2 }, 0.5)],
    ['weight', judge({ fwhmPx: 2 }, 1, 0.2)],
    ['too-few-stars', judge({ fwhmPx: 2, measured: 3 })],
    ['too-few-stars', judge({ fwhmPx: null, hfdPx: null })],
    ['hfd', judge({ fwhmPx: null, hfdPx: 8 })],
    ['fwhm', judge({ fwhmPx: 2.3 }, 1, 0.9, { fwhmArcsec: 3 })],
  ] as const)('rejects by %s with value and limit', (code, { decision, reasons }) => {
    expect(decision).toBe('reject');
    expect(reasons.map((reason) => reason.code)).toEqual([code]);
    expect(reasons[0]!.value).not.toBeNull();
    expect(reasons[0]!.limit).not.toBeNull();
    expect(reasons[0]!.message).toMatch(/\d/);
  });

  it('says that there is no point source where things were found but no star', () => {
    const arcs = {
      ...madeFrame('f', { fwhmPx: null, hfdPx: null, measured: 45 }),
      unmeasured: { fwhm: 'too few stars to tell: 0 good stars of 45 found' },
    };
    const { reasons } = decide(arcs, { transparency: null, weight: null }, reference, defaultLimits);
    expect(reasons[0]!.message).toBe(
      'no point source among them; too few stars to tell: 0 good stars of 45 found',
    );
  });

  it('gives as many digits as show the side of the limit', () => {
    const { reasons } = judge({ elongation: 1.0204 }, 1, 0.9, { elongation: 1.02 });
    expect(reasons[0]!.message).toContain('elongation 1.0204 is over the limit 1.02');
  });

  it('puts the limit that is broken most first', () => {
    expect(judge({ fwhmPx: 2.6, elongation: 2.5 }, 0.6).reasons.map((reason) => reason.code)).toEqual([
      'elongation',
      'transparency',
      'fwhm',
    ]);
  });

  it('rejects nothing for a figure that could not be measured, or a limit that is off', () => {
    expect(judge({ fwhmPx: 2, elongation: null }, null, null).decision).toBe('keep');
    const off = { fwhmFactor: null, elongation: null, transparency: null, weight: null };
    expect(judge({ fwhmPx: 9, elongation: 5 }, 0.1, 0.01, off)).toEqual({ decision: 'keep', reasons: [] });
  });

  it('judges a single frame by elongation, stars and absolute limits only', () => {
    const alone = { ...reference, frames: 1, fwhmPx: 9, weight: 1 };
    const single = (limits: object) =>
      decide(madeFrame('f', { fwhmPx: 9 }), { transparency: null, weight: 1 }, alone, {
        ...defaultLimits,
        ...limits,
      });
    expect(single({}).decision).toBe('keep');
    expect(single({ fwhmArcsec: 4 }).decision).toBe('reject');
  });

  it('speaks in pixels where there is no plate scale, and cannot apply a limit in arcseconds there', () => {
    const { decision, reasons } = judge({ fwhmPx: 2.6, arcsecPerPx: null }, 1, 0.9, { fwhmArcsec: 0.1 });
    expect(decision).toBe('reject');
    expect(reasons).toHaveLength(1);
    expect(reasons[0]!.message).toContain('2.60 px');
  });
});
