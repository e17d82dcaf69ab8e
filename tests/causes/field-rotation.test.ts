import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('field-rotation', () => {
  it('fires', () => {
    const finding = judge('field-rotation', {
      frames: calmFrames(10, (k) => ({
        turnArcmin: 8,
        turnCentre: [0.6, 0.4],
        registration: { rotationDeg: k * 0.13 },
      })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
  });

  it('gives the turn between frames as a size, whichever way the picture is drawn', () => {
    const finding = judge('field-rotation', {
      frames: calmFrames(10, (k) => ({
        turnArcmin: 8,
        turnCentre: [0.6, 0.4],
        registration: { rotationDeg: -k * 0.13 },
      })),
    });
    expect(finding.evidence.find((e) => e.unit === 'deg/h')!.value).toBeGreaterThan(0);
  });

  it('stays quiet on a clean night', () => {
    expect(judge('field-rotation', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves the tangential corners of a long spacing alone', () => {
    const finding = judge('field-rotation', {
      frames: calmFrames(10, () => ({ medialMicron: 60, astigmatismMicron: -30 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('does not take a meridian flip for a turn', () => {
    const finding = judge('field-rotation', {
      frames: calmFrames(10, (k) => ({ registration: k < 5 ? {} : { rotationDeg: 180, flipped: true } })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('field-rotation', { frames: calmFrames(5), cells: [2, 2] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
