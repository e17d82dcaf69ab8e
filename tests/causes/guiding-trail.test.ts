import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('guiding-trail', () => {
  it('fires', () => {
    const finding = judge('guiding-trail', {
      frames: calmFrames(10, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.4, trailDeg: 2 } : {})),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toContain('frame-006.fits');
    expect(finding.frames).not.toContain('frame-001.fits');
    const rms = finding.evidence.find((e) => e.unit === 'arcsec');
    expect(Math.abs(rms!.value / 1.4 - 1)).toBeLessThan(0.2);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('guiding-trail', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves gusts from all sides to the wind', () => {
    const finding = judge('guiding-trail', {
      frames: calmFrames(12, (k) =>
        k > 3 ? { trailArcsec: [0.7, 1.7, 1, 1.9, 0.6, 1.3, 1.8][k % 7], trailDeg: (k * 47) % 180 } : {},
      ),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves astigmatic corners alone', () => {
    const finding = judge('guiding-trail', {
      frames: calmFrames(10, () => ({ medialMicron: -70, astigmatismMicron: -45 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('guiding-trail', { frames: calmFrames(3), cells: [0, 0] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('finds the period of a drive whose trails come and go', () => {
    const finding = judge('guiding-trail', {
      // Frames start 130 s apart in these nights: a swing of 20 minutes.
      frames: calmFrames(28, (k) => ({
        trailArcsec: 1 + 0.8 * Math.cos((2 * Math.PI * k * 130) / 1200),
        trailDeg: 2,
      })),
    });
    const period = finding.evidence.find((e) => e.unit === 'min');
    // 28 frames span an hour: three swings, known to a twelfth of a swing each way.
    expect(Math.abs(period!.value - 20)).toBeLessThan(2.5);
    expect(finding.advice).toContain('periodic error');
  });

  it('tells a steady drift that repeats itself', () => {
    const finding = judge('guiding-trail', {
      frames: calmFrames(12, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.5, trailDeg: 30 } : {})),
    });
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.advice).toContain('steady drift');
    const length = finding.evidence.find((e) => e.what.startsWith('length of the trail'));
    expect(Math.abs(length!.value / (1.5 * Math.sqrt(12)) - 1)).toBeLessThan(0.15);
  });
});
