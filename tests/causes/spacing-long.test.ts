import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('spacing-long', () => {
  it('fires', () => {
    const finding = judge('spacing-long', {
      frames: calmFrames(10, () => ({ medialMicron: 60, astigmatismMicron: -30 })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    expect(
      judge('spacing-short', { frames: calmFrames(10, () => ({ medialMicron: 60, astigmatismMicron: -30 })) })
        .confidence,
    ).toBeLessThan(0.3);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('spacing-long', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a tilt alone', () => {
    const finding = judge('spacing-long', {
      frames: calmFrames(10, (k) => ({ tiltMicron: 90, tiltDeg: 120, focusMicron: -30 + 8 * k })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves field rotation alone', () => {
    const finding = judge('spacing-long', {
      frames: calmFrames(10, (k) => ({ turnArcmin: 8, registration: { rotationDeg: k * 0.13 } })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('spacing-long', { frames: calmFrames(5), cells: [2, 2] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
