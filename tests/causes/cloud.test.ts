import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('cloud', () => {
  it('fires', () => {
    const finding = judge('cloud', {
      frames: calmFrames(10, (k) => (k > 3 && k < 8 ? { transparency: 0.5 + 0.08 * (k % 3) } : {})),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toContain('frame-006.fits');
    expect(finding.frames).not.toContain('frame-001.fits');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('cloud', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a steady loss with halos to the dew', () => {
    const finding = judge('cloud', {
      frames: calmFrames(12, (k) => ({
        transparency: 1 - 0.04 * Math.max(0, k - 3),
        halo: 0.008 * Math.max(0, k - 3),
      })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves a sinking target alone', () => {
    const finding = judge('cloud', {
      frames: calmFrames(10, (k) => ({
        transparency: 10 ** (-0.4 * 0.2 * 0.25 * k),
        header: { airmass: 1 + 0.25 * k },
      })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('cloud', { frames: calmFrames(2) });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
