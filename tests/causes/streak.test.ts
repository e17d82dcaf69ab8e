import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('streak', () => {
  it('fires', () => {
    const finding = judge('streak', {
      frames: calmFrames(5, (k) =>
        k === 2
          ? { streaks: [{ x1: 10, y1: 20, x2: 2900, y2: 1500, lengthPx: 3247, angleDeg: 27, widthPx: 4 }] }
          : {},
      ),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toEqual(['frame-003.fits']);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('streak', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves trailed stars alone', () => {
    const finding = judge('streak', {
      frames: calmFrames(10, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.4, trailDeg: 2 } : {})),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('streak', { frames: [] });
    expect(finding.answer).toBe('cannot-tell');
  });
});
