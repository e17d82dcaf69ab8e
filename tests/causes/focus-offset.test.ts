import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('focus-offset', () => {
  it('fires', () => {
    const finding = judge('focus-offset', {
      frames: calmFrames(12, (k) => ({ focusMicron: k >= 4 && k < 8 ? 80 : 0 })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toContain('frame-006.fits');
    expect(finding.frames).not.toContain('frame-001.fits');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('focus-offset', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a steady drift to its neighbour', () => {
    const finding = judge('focus-offset', { frames: calmFrames(12, (k) => ({ focusMicron: 9 * k })) });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves bad seeing alone', () => {
    const finding = judge('focus-offset', {
      frames: calmFrames(12, (k) => ({ seeingArcsec: k >= 4 && k < 8 ? 3.6 : 2.6 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('focus-offset', { frames: calmFrames(2) });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('names the filter that is out of focus', () => {
    const frames = calmFrames(12, (k) => (k < 6 ? {} : { focusMicron: 80, header: { filter: 'Ha' } }));
    const finding = judge('focus-offset', { frames });
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.advice).toContain('filter Ha');
  });
});
