import { describe, expect, it } from 'vitest';
import { assessLadder } from '../../../src/night/ladder/index.js';
import { defaultSweepOptions } from '../../../src/night/sweep/index.js';
import { normal, seeded } from '../../field/made-stars.js';
import { bowlFrame } from './bowl-frame.js';
import { assessedLadder, noLadderOptions, tracedRungs } from './ladder-fixture.js';

describe('a ladder of traced sweeps', () => {
  const ladder = assessedLadder([54, 56], { predictAtMm: [55.2] });

  it('gives the best spacing within 0.1 mm, and the sensitivity', () => {
    expect(Math.abs(ladder.bestSpacingMm! - 55.2)).toBeLessThan(0.1);
    expect(ladder.uncertaintyMm).toBeLessThan(0.15);
    expect(Math.abs(ladder.sensitivityMicronPerMm! / 60 - 1)).toBeLessThan(0.07);
    expect(ladder.bracketed).toBe(true);
  });

  it('finds the tangential surface to move three times as far as the sagittal', () => {
    expect(Math.abs(ladder.surfaceRatio!.value - 3)).toBeLessThan(3 * ladder.surfaceRatio!.error + 0.2);
  });

  it('predicts the sharpest corners at the best spacing', () => {
    const at = (mm: number) => ladder.predictions.find((p) => p.spacingMm === mm)!.cornerFwhmPx;
    expect(at(55.2)).toBeLessThan(at(54));
    expect(at(55.2)).toBeLessThan(at(56));
  });

  it('says when the best spacing is extrapolated', () => {
    const outside = assessedLadder([53.5, 54.5]);
    expect(outside.bracketed).toBe(false);
    expect(outside.advice.join(' ')).toContain('extrapolated');
  });
});

describe('a ladder with weaker evidence', () => {
  it('of single frames gives the least soft corners, and says that this is weaker', () => {
    const rungs = tracedRungs([53.2, 54.2, 55.2, 56.2, 57.2], { seeing: { arcsec: 2, spread: 0 } }).map(
      (rung) => ({
        ...rung,
        frames: [rung.frames[3]!],
      }),
    );
    const ladder = assessLadder(rungs, defaultSweepOptions, noLadderOptions);
    expect(ladder.evidence).toBe('single-frames');
    expect(Math.abs(ladder.bestSpacingMm! - 55.2)).toBeLessThan(0.5);
    expect(ladder.advice.join(' ')).toContain('single frames');
    expect(ladder.points[0]?.why).toContain('1 different focuser position');
  });

  it('of two single frames gives no best spacing, and says what to take', () => {
    const rungs = tracedRungs([54, 56]).map((rung) => ({ ...rung, frames: [rung.frames[3]!] }));
    const ladder = assessLadder(rungs, defaultSweepOptions, noLadderOptions);
    expect(ladder.bestSpacingMm).toBeNull();
    expect(ladder.advice.join(' ')).toContain('focus sweep');
    expect(ladder.points.every((point) => point.cornerExcessErrorPx2! > 0)).toBe(true);
  });

  it('of single frames states the error with which such ladders scatter, focus set anew at each spacing', () => {
    const pulls = [
      [53, 54, 55, 56, 57],
      [53.5, 55, 56.5],
    ].flatMap((spacingsMm) =>
      Array.from({ length: 40 }, (_, seed) => {
        const random = seeded(100 + seed);
        const rungs = spacingsMm.map((spacingMm) => {
          const focusMicron = 8 * normal(random);
          const frames = [1, 2, 3].map((n) =>
            bowlFrame({
              curvatureMicron: 60 * (spacingMm - 55.2),
              focusMicron,
              fwhmPx: 2.5 * (1 + 0.1 * normal(random)),
              seed: 1000 * seed + 10 * spacingMm + n,
            }),
          );
          return { spacingMm, frames };
        });
        const ladder = assessLadder(rungs, defaultSweepOptions, noLadderOptions);
        return (ladder.bestSpacingMm! - 55.2) / ladder.uncertaintyMm!;
      }),
    );
    // 80 pulls of one have an rms known to 8 per cent; three times that.
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull * pull, 0) / pulls.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.25);
  });

  it('needs two spacings', () => {
    const [rung] = tracedRungs([54]);
    expect(() => assessLadder([rung!, rung!], defaultSweepOptions, noLadderOptions)).toThrow(
      'one spacing only',
    );
  });
});
