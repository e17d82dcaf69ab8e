import { describe, expect, it } from 'vitest';
import { sweepAdvice } from '../../../src/night/sweep/sweep-advice.js';
import { assessed } from './sweep-fixture.js';

describe('advice after a sweep', () => {
  it('gives shim and screws for a tilt, with the cautions', () => {
    const sweep = assessed(
      { optics: { tilt: { spanMicron: 150, directionDeg: 90 } } },
      { flangeMm: 54, tiltPlate: { radiusMm: 30, pitchMm: 0.5, screwDirectionsDeg: [90, 210, 330] } },
    );
    const text = sweep.advice.join('\n');
    expect(text).toMatch(/A shim of 1\.\d\d\d mm|A shim of 0\.\d\d\d mm/);
    expect(text).toContain('turns wider');
    expect(text).toContain('switch off');
  });

  it('warns that the side of a tilt rests on a guess where nobody said which way the focuser counts', () => {
    const scenario = { optics: { tilt: { spanMicron: 150, directionDeg: 90 } } };
    expect(assessed(scenario).advice.join('\n')).toContain('the opposite side');
    expect(assessed(scenario, { inward: 'negative' }).advice.join('\n')).not.toContain('nobody said so');
  });

  it('makes no instruction of a spacing verdict whose signs disagree', () => {
    const sweep = assessed({});
    const said = (confidence: number) =>
      sweepAdvice({
        ...sweep,
        curvature: { ...sweep.curvature, cornerMicron: -60, errorMicron: 6 },
        spacing: { ...sweep.spacing, verdict: 'short', errorMm: null, errorMmError: null, confidence },
      }).join('\n');
    expect(said(0.5)).toContain('60 ± 6 µm nearer to the optics');
    expect(said(0.5)).toContain('check before you change anything');
    expect(said(0.5)).not.toMatch(/: add /);
    expect(said(0.7)).toContain('Spacing reads short (70 %): add 0.5 to 1 mm');
  });

  it('says only where to focus when all is well', () => {
    const text = assessed({}).advice.join('\n');
    expect(text).toContain('Focus at step');
    expect(text).not.toContain('switch off');
  });

  it('asks for another sweep when focus is not bracketed, and for nothing else', () => {
    const sweep = assessed({ sweep: { rangeMicron: 300, centreMicron: 260 } });
    expect(sweep.bestFocus.bracketed).toBe('no');
    expect(sweep.advice).toHaveLength(1);
    expect(sweep.advice[0]).toContain('does not bracket');
    expect(sweep.advice[0]).toContain('smaller');
  });

  it('says when focus lies near the end of the sweep', () => {
    const sweep = assessed({ sweep: { rangeMicron: 300, centreMicron: 120 } });
    expect(sweep.bestFocus.bracketed).not.toBe('no');
    expect(sweep.advice.join('\n')).toMatch(
      /Only (one|no) frame lies? on the inner side .* smaller positions/,
    );
  });
});
