import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('bright-sky', () => {
  it('fires', () => {
    const finding = judge('bright-sky', { frames: calmFrames(10, (k) => (k > 6 ? { level: 2000 } : {})) });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(finding.frames).toEqual(['frame-008.fits', 'frame-009.fits', 'frame-010.fits']);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('bright-sky', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves cloud that is lit from below to the cloud', () => {
    const finding = judge('bright-sky', {
      frames: calmFrames(10, (k) => (k > 6 ? { level: 1100, transparency: 0.5 } : {})),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves noise without light alone', () => {
    const finding = judge('bright-sky', { frames: calmFrames(10, (k) => (k > 6 ? { noise: 20 } : {})) });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('bright-sky', { frames: calmFrames(2), bare: true });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('knows twilight from place and time, and warns of the Sun by day', () => {
    const at = (hour: string) => ({ level: 5000, header: { dateObs: `2026-09-12T${hour}:00:00.000Z` } });
    // Sun 12 degrees below the horizon at about 18:45 UTC there; at noon it is day.
    expect(judge('bright-sky', { frames: calmFrames(10, (k) => (k > 7 ? at('18') : {})) }).advice).toContain(
      'Twilight',
    );
    expect(judge('bright-sky', { frames: calmFrames(10, (k) => (k > 7 ? at('11') : {})) }).advice).toContain(
      'Sun',
    );
  });
});
