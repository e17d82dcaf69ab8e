import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('wind-shake', () => {
  it('fires', () => {
    const finding = judge('wind-shake', {
      frames: calmFrames(12, (k) =>
        k > 3 ? { trailArcsec: [0.7, 1.7, 1, 1.9, 0.6, 1.3, 1.8][k % 7], trailDeg: (k * 47) % 180 } : {},
      ),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('wind-shake', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a steady trail along one axis to the guiding', () => {
    const finding = judge('wind-shake', {
      frames: calmFrames(10, (k) => (k > 3 && k < 8 ? { trailArcsec: 1.4, trailDeg: 2 } : {})),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves bad seeing alone', () => {
    const finding = judge('wind-shake', {
      frames: calmFrames(10, (k) => ({ seeingArcsec: k > 4 ? 3.6 : 2.6 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('wind-shake', { frames: calmFrames(3), cells: [0, 0] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
