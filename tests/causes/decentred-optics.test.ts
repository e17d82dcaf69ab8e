import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('decentred-optics', () => {
  it('fires', () => {
    const finding = judge('decentred-optics', {
      frames: calmFrames(8, () => ({ comaPx: 1.1, comaCentre: [0.9, -0.4] })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('decentred-optics', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves the coma of a design that is centred alone', () => {
    const finding = judge('decentred-optics', {
      frames: calmFrames(8, () => ({ comaPx: 0.9, comaCentre: [0, 0] })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves tilt alone', () => {
    const finding = judge('decentred-optics', {
      frames: calmFrames(10, (k) => ({ tiltMicron: 90, tiltDeg: 120, focusMicron: -30 + 8 * k })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('decentred-optics', { frames: calmFrames(5), cells: [2, 2] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
