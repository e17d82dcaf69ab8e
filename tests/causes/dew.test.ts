import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('dew', () => {
  it('fires', () => {
    const finding = judge('dew', {
      frames: calmFrames(12, (k) => ({
        transparency: 1 - 0.04 * Math.max(0, k - 3),
        halo: 0.008 * Math.max(0, k - 3),
      })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('dew', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a loss that comes and goes to the cloud', () => {
    const finding = judge('dew', {
      frames: calmFrames(10, (k) => (k > 3 && k < 8 ? { transparency: 0.5 + 0.08 * (k % 3) } : {})),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves a sinking target alone', () => {
    const finding = judge('dew', {
      frames: calmFrames(10, (k) => ({
        transparency: 10 ** (-0.4 * 0.2 * 0.25 * k),
        header: { airmass: 1 + 0.25 * k },
      })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('dew', { frames: calmFrames(3) });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
