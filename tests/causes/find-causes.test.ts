import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { findCauses } from '../../src/causes/find-causes.js';

describe('findCauses', () => {
  it('asks every cause, surest first, and finds several at once', () => {
    const findings = findCauses(
      madeNight({
        frames: calmFrames(10, (k) => ({
          tiltMicron: 100,
          ...(k > 3 && k < 7 ? { transparency: 0.5 } : {}),
          ...(k > 6 ? { trailArcsec: 1.8, trailDeg: 1 } : {}),
        })),
      }),
    );
    expect(findings).toHaveLength(14);
    // From 0.95 on they are as good as certain, and the one that does most harm comes first.
    const surety = findings.map((f) => Math.min(0.95, f.confidence));
    for (let k = 1; k < 14; k++) expect(surety[k]).toBeLessThanOrEqual(surety[k - 1]);
    const certain = findings.filter((f) => f.confidence >= 0.95).map((f) => f.code);
    expect(certain.length).toBeGreaterThan(1);
    expect(certain[0]).toBe('guiding-trail');
    const found = findings.filter((f) => f.confidence > 0.5).map((f) => f.code);
    for (const code of ['sensor-tilt', 'cloud', 'guiding-trail']) expect(found).toContain(code);
    for (const f of findings) {
      if (f.answer === 'found') expect(f.evidence.length).toBeGreaterThan(0);
      else expect(f.why).not.toBe('');
      // Nothing is certain.
      expect(f.confidence).toBeLessThan(1);
    }
  });

  it('finds nothing above one half on clean nights, whatever their number', () => {
    for (const seed of [1, 2, 3, 4]) {
      const findings = findCauses(madeNight({ frames: calmFrames(10, undefined, seed), seed }));
      expect(findings.filter((f) => f.confidence >= 0.5).map((f) => f.code)).toEqual([]);
    }
  });

  it('judges each camera by its own frames', () => {
    // Nine sharp frames of one camera and three of another whose stars are half as wide again: no fault of either.
    const { frames, ...rest } = madeNight({
      frames: calmFrames(12, (k) =>
        k < 9 ? {} : { seeingArcsec: 4 * (1 + 0.01 * k), header: { camera: 'other' } },
      ),
    });
    const mixed = findCauses({ ...rest, frames });
    expect(mixed.filter((f) => f.confidence >= 0.5).map((f) => f.code)).toEqual([]);
  });

  it('tells trails of two cameras apart: axis and frames of each', () => {
    const made = (k: number) => ({
      trailArcsec: 1.8,
      trailDeg: k < 5 ? 1 : 91,
      ...(k < 5 ? {} : { header: { camera: 'other' } }),
    });
    const findings = findCauses(madeNight({ frames: calmFrames(10, made) }));
    const guiding = findings.find((f) => f.code === 'guiding-trail')!;
    expect(guiding.frames).toHaveLength(10);
    const counts = guiding.evidence.filter((e) => e.unit === 'frames');
    expect(counts.map((e) => e.value)).toEqual([5, 5]);
    const axes = guiding.evidence.filter((e) => e.what.endsWith('axis of the trail in the pixel frame'));
    expect(axes).toHaveLength(2);
    for (const { what, value } of axes) {
      const right = what.startsWith('frame-001') ? 1 : 91;
      expect(Math.abs(((value - right + 270) % 180) - 90)).toBeLessThan(3);
    }
    expect(guiding.advice).toContain('along right ascension');
    expect(guiding.advice).toContain('along declination');
  });

  it('is not sure of the rig by one frame, nor by two calm ones', () => {
    for (const count of [1, 2]) {
      const calm = findCauses(madeNight({ frames: calmFrames(count) }));
      expect(calm.filter((f) => f.confidence >= 0.3).map((f) => f.code)).toEqual([]);
      expect(calm.filter((f) => f.answer === 'cannot-tell').length).toBeGreaterThan(3);
    }
    const tilted = findCauses(
      madeNight({ frames: calmFrames(1, () => ({ tiltMicron: 150, focusMicron: 40 })) }),
    );
    expect(tilted.find((f) => f.code === 'sensor-tilt')!.confidence).toBeLessThan(0.65);
  });

  it('cannot tell without frames', () => {
    expect(findCauses(madeNight({ frames: [] })).every((f) => f.answer === 'cannot-tell')).toBe(true);
  });
});
