import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('sensor-tilt', () => {
  it('fires', () => {
    const finding = judge('sensor-tilt', {
      frames: calmFrames(10, (k) => ({ tiltMicron: 90, tiltDeg: 120, focusMicron: -30 + 8 * k })),
    });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    const span = finding.evidence.find((e) => e.unit === 'um');
    // The issue's own target: 15 %.
    expect(Math.abs(span!.value / 90 - 1)).toBeLessThan(0.15);
    expect(finding.advice).toContain('park the telescope');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('sensor-tilt', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('leaves a curved field to the spacing', () => {
    const finding = judge('sensor-tilt', {
      frames: calmFrames(10, (k) => ({ medialMicron: 70, astigmatismMicron: 35, focusMicron: -20 + 6 * k })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves a centred seeing change alone', () => {
    const finding = judge('sensor-tilt', {
      frames: calmFrames(10, (k) => ({ seeingArcsec: 2.4 + 0.1 * k })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('sensor-tilt', { frames: calmFrames(5), cells: [2, 2] });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });

  it('tells a tilt that turns over with the pier side', () => {
    const frames = calmFrames(12, (k) => ({
      tiltMicron: 90,
      tiltDeg: k < 6 ? 100 : 280,
      focusMicron: -20 + 5 * k,
      header: { pierSide: k < 6 ? ('east' as const) : ('west' as const) },
    }));
    expect(judge('sensor-tilt', { frames }).advice).toContain('sags');
  });

  it('says what the side it names rests on, until it is told', () => {
    const frames = calmFrames(12, (k) => ({
      tiltMicron: 90,
      tiltDeg: 120,
      focusMicron: 20 * k - 100,
      header: { focuserPosition: 12_000 - 13 * k },
    }));
    const moved = judge('sensor-tilt', { frames });
    const edge = (inward: 'positive' | 'negative') =>
      /move the ([a-z ]+) edge/.exec(judge('sensor-tilt', { frames, inward }).advice)?.[1];
    expect([edge('negative'), edge('positive')]).toEqual(['top left', 'bottom right']);
    expect(judge('sensor-tilt', { frames, inward: 'positive' }).advice).not.toContain('This takes');
    const advice = moved.advice;
    expect(advice).toContain('larger focuser counts as moving the camera outwards');
    expect(advice).toContain('opposite edge');
    const untold = judge('sensor-tilt', {
      frames: calmFrames(10, () => ({ tiltMicron: 90, tiltDeg: 120, focusMicron: 40 })),
    });
    expect(untold.advice).not.toContain('This takes');
  });

  it('gives one answer to how much FWHM differs, and says of what', () => {
    const { evidence } = judge('sensor-tilt', {
      frames: calmFrames(10, (k) => ({ tiltMicron: 90, tiltDeg: 120, focusMicron: 20 + 2 * k })),
    });
    const widths = evidence.filter((e) => e.unit === '%');
    expect(widths).toHaveLength(1);
    expect(widths[0].what).toContain('typical for the night');
    // The mean of the frames gives a side, not a second size.
    const softest = evidence.find((e) => e.what.includes('softest towards'));
    expect(softest === undefined || softest.unit === 'deg').toBe(true);
  });
});
