import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';

describe('focus-drift', () => {
  it('fires', () => {
    const finding = judge('focus-drift', { frames: calmFrames(12, (k) => ({ focusMicron: 9 * k })) });
    expect(finding.answer).toBe('found');
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.evidence.length).toBeGreaterThan(0);
    expect(finding.advice).not.toBe('');
    const law = finding.evidence.find((e) => e.unit === 'um/h');
    // 9 um a frame of 130 s: 249 um an hour; the drift is fitted from widths, so 25 %.
    expect(Math.abs(law!.value / 249 - 1)).toBeLessThan(0.25);
    expect(finding.frames).toContain('frame-012.fits');
  });

  it('says in words which way the widths went, hours and kelvins alike', () => {
    const cooling = judge('focus-drift', {
      frames: calmFrames(12, (k) => ({ focusMicron: 9 * k, header: { ambientTemperatureC: 10 - 0.4 * k } })),
    });
    const rates = cooling.evidence.filter((e) => e.what.startsWith('FWHM '));
    expect(rates.map((e) => [e.what, e.unit])).toEqual([
      ['FWHM grows steadily by', '%/h'],
      ['FWHM grows per kelvin of cooling by', '%'],
    ]);
    expect(rates.every((e) => e.value > 0)).toBe(true);
    const warming = judge('focus-drift', {
      frames: calmFrames(12, (k) => ({ focusMicron: 9 * k, header: { ambientTemperatureC: 4 + 0.4 * k } })),
    });
    expect(
      warming.evidence.some((e) => e.what === 'FWHM grows per kelvin of warming by' && e.value > 0),
    ).toBe(true);
    expect(warming.advice).not.toContain('cooling');
    expect(cooling.evidence[0].what).toContain('by the fitted course (not single frames)');
  });

  it('tells of the run that cost most sharpness where several are sure', () => {
    const speed = (first: number, second: number) =>
      judge('focus-drift', {
        frames: calmFrames(24, (k) =>
          k < 12
            ? { focusMicron: first * k, header: { focuserPosition: 12000 } }
            : { focusMicron: second * (k - 12), header: { focuserPosition: 12500 } },
        ),
      }).evidence.find((e) => e.unit === 'um/h')!.value;
    // 12 um a frame of 130 s: 332 um an hour, and 7: 194.
    expect(speed(12, 7)).toBeGreaterThan(265);
    expect(speed(7, 12)).toBeGreaterThan(265);
  });

  it('names no frame that cloud dimmed while the focus drifted', () => {
    const finding = judge('focus-drift', {
      frames: calmFrames(14, (k) => ({
        focusMicron: 9 * k,
        ...(k === 9 || k === 10 ? { transparency: 0.3 } : {}),
      })),
    });
    expect(finding.confidence).toBeGreaterThan(0.5);
    expect(finding.frames).toContain('frame-014.fits');
    expect(finding.frames).not.toContain('frame-010.fits');
    expect(finding.frames).not.toContain('frame-011.fits');
  });

  it('stays quiet on a clean night', () => {
    expect(judge('focus-drift', { frames: calmFrames(10) }).confidence).toBeLessThan(0.5);
  });

  it('is only moderately sure of a steady widening without the shape of defocus, and says what looks the same', () => {
    const finding = judge('focus-drift', {
      frames: calmFrames(12, (k) => ({ seeingArcsec: 2.5 + 0.08 * k })),
    });
    expect(finding.confidence).toBeLessThan(0.8);
    expect(finding.advice).toContain('air that worsens evenly looks the same');
    expect(finding.evidence.some((e) => e.unit.startsWith('um/'))).toBe(false);
  });

  it('leaves seeing that comes and goes alone', () => {
    const wander = [0, 3, 5, 4, 1, 0, 2, 5, 6, 4, 2, 1];
    const finding = judge('focus-drift', {
      frames: calmFrames(12, (k) => ({ seeingArcsec: 2.5 + 0.12 * wander[k] })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('leaves a bumped focuser to its neighbour', () => {
    const finding = judge('focus-drift', {
      frames: calmFrames(12, (k) => ({ focusMicron: k >= 4 && k < 8 ? 80 : 0 })),
    });
    expect(finding.confidence).toBeLessThan(0.5);
  });

  it('says so when there is too little data', () => {
    const finding = judge('focus-drift', { frames: calmFrames(3) });
    expect(finding.answer).toBe('cannot-tell');
    expect(finding.why).not.toBe('');
  });
});
