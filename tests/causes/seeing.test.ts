import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('seeing', () => {
  it('fires', () => {
    const finding = judge('seeing', {
      frames: calmFrames(10, (k) => ({ seeingArcsec: k > 3 && k < 8 ? 3.7 : 2.6 })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.advice).toContain('Nothing is wrong with the rig');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('seeing', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves defocus alone', () => {
    const finding = judge('seeing', {
      frames: calmFrames(12, (k) => ({ focusMicron: k >= 4 && k < 8 ? 80 : 0 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves what the airmass explains alone', () => {
    const finding = judge('seeing', {
      frames: calmFrames(10, (k) => ({
        seeingArcsec: 2.6 * (1 + 0.12 * k) ** 0.6,
        header: { airmass: 1 + 0.12 * k },
      })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('seeing', { frames: calmFrames(2) });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('says what limits the sharpness of a clean night', () => {
    expect(judge('seeing', { frames: calmFrames(10) }).why).toContain('limits the sharpness');
  });
});
