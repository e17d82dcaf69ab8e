import { describe, expect, it } from 'vitest';
import { judgeNight } from '../../src/night/judge-night.js';
import { defaultLimits } from '../../src/night/limits.js';
import { madeFrame, madeSky, seenStars, type MadeFrameOptions, type Pointing } from './made-frames.js';
import { timed } from '../scenes/processor-time.js';

const sky = madeSky(41, 1500, 4000);
const stars = (pointing: Pointing = {}, seconds = 120) => seenStars(sky, seconds, 2000, 1500, pointing);
const minute = (i: number): string => new Date(Date.UTC(2026, 2, 1, 20, 3 * i)).toISOString();
const frame = (i: number, options: MadeFrameOptions = {}, pointing: Pointing = {}) =>
  madeFrame(`sub_${i}.fits`, {
    stars: stars({ seed: i + 1, dxPx: 5 * Math.sin(i), dyPx: 5 * Math.cos(i), ...pointing }),
    ...options,
    header: { dateObs: minute(i), ...options.header },
  });
const judge = (frames: ReturnType<typeof frame>[], limits = {}) =>
  judgeNight(frames, { ...defaultLimits, ...limits });
const codes = (night: ReturnType<typeof judge>) =>
  night.frames.map((one) => (one.decision === 'keep' ? 'keep' : one.reasons[0]!.code));

describe('judgeNight', () => {
  it('sorts by time, keeps the clean frames, and rejects the others each for its reason', () => {
    const frames = [
      ...Array.from({ length: 12 }, (_, i) => frame(i, { fwhmPx: 2.4 + 0.05 * (i % 3) })),
      frame(12, { fwhmPx: 3.4 }),
      frame(13, { elongation: 1.6 }),
      frame(14, {}, { transparency: 0.4 }),
      frame(15, { level: 9000, noise: 40 }),
      frame(16, { measured: 2, fwhmPx: null, hfdPx: null, elongation: null, stars: [] }),
    ];
    const night = judge([...frames].reverse());
    expect(night.frames.map((one) => one.file)).toEqual(frames.map((one) => one.file));
    expect(codes(night)).toEqual([
      ...Array.from({ length: 12 }, () => 'keep'),
      'fwhm',
      'elongation',
      'transparency',
      'weight',
      'too-few-stars',
    ]);
    expect(night.groups).toEqual([
      expect.objectContaining({ name: 'Harbour Nebula, L, 120 s', frames: 17, kept: 12 }) as unknown,
    ]);
    expect(Math.max(...night.frames.map((one) => one.weight ?? 0))).toBe(1);
    expect(night.frames.every((one) => one.transparency !== null || one.unmeasured['transparency'])).toBe(
      true,
    );
  });

  it('compares each group with itself: another filter may be softer', () => {
    const night = judge([
      ...[0, 1, 2, 3].map((i) => frame(i)),
      ...[4, 5, 6, 7].map((i) => frame(i, { fwhmPx: 3.6, header: { filter: 'R' } })),
    ]);
    expect(night.groups.map((group) => group.kept)).toEqual([4, 4]);
    expect(night.frames.every((one) => one.registration !== null)).toBe(true);
  });

  it('says what a single frame can be judged on', () => {
    const night = judge([frame(0)]);
    expect(night.frames[0]).toMatchObject({ decision: 'keep', transparency: null, weight: 1 });
    expect(night.frames[0]!.unmeasured['transparency']).toContain('no other frame');
    expect(night.warnings.join()).toContain('single frame');
    expect(codes(judge([frame(0, { elongation: 2 })]))).toEqual(['elongation']);
    expect(codes(judge([frame(0, { measured: 2 })]))).toEqual(['too-few-stars']);
  });

  it('judges two and three frames against the better half', () => {
    expect(codes(judge([frame(0), frame(1, { fwhmPx: 3.3 })]))).toEqual(['keep', 'fwhm']);
    expect(codes(judge([frame(0), frame(1), frame(2, {}, { transparency: 0.5 })]))).toEqual([
      'keep',
      'keep',
      'transparency',
    ]);
  });

  it('rejects a group that is bad throughout, and says so', () => {
    const night = judge([0, 1, 2].map((i) => frame(i, { elongation: 1.9 })));
    expect(codes(night)).toEqual(['elongation', 'elongation', 'elongation']);
    expect(night.warnings.join()).toContain('no frame is within the limits');
  });

  it('does not let frames without stars set the reference', () => {
    const night = judge([frame(0), frame(1), frame(2, { fwhmPx: 0.9, measured: 3, stars: [] })]);
    expect(night.groups[0]!.reference.fwhmPx).toBeCloseTo(2.4);
    expect(codes(night)).toEqual(['keep', 'keep', 'too-few-stars']);
  });

  it('keeps image sizes apart and still judges both', () => {
    const night = judge([frame(0), frame(1), frame(2, { widthPx: 1000 }), frame(3, { widthPx: 1000 })]);
    expect(night.groups).toHaveLength(2);
    expect(night.groups[0]!.name).toContain('2000 x 1500');
  });

  it('keeps only the best part when asked', () => {
    const frames = Array.from({ length: 10 }, (_, i) => frame(i, { noise: 10 + i }));
    const night = judge(frames, { keepBest: 0.7, weight: null });
    expect(night.frames.filter((one) => one.decision === 'keep').map((one) => one.file)).toEqual(
      frames.slice(0, 7).map((one) => one.file),
    );
  });

  it('warns of frames that match no other', () => {
    const stranger = seenStars(madeSky(77, 1500, 4000), 120, 2000, 1500);
    const night = judge([frame(0), frame(1), frame(2, { stars: stranger })]);
    expect(night.frames[2]).toMatchObject({ registration: null, transparency: null, decision: 'keep' });
    expect(night.warnings.join()).toContain('could not be matched');
  });

  it('is empty for no frame', () => {
    expect(judge([])).toEqual({ frames: [], groups: [], warnings: [] });
  });

  it('takes 400 frames of 300 stars in a few seconds', () => {
    const frames = Array.from({ length: 400 }, (_, i) =>
      frame(i, {}, { rotationDeg: i < 200 ? 0 : 180, transparency: 1 - 0.001 * i }),
    );
    const { result: night, processorMs } = timed(() => judge(frames));
    // Measured 900 ms; room for a slower machine.
    expect(processorMs).toBeLessThan(8000);
    expect(night.frames.every((one) => one.registration !== null)).toBe(true);
    expect(night.frames.filter((one) => one.registration!.flipped)).toHaveLength(200);
  });
});
