import { describe, expect, it } from 'vitest';
import { isotropicResponse } from '../../../src/night/blur-response.js';
import { momentWithSlopes, starResponse } from '../../../src/night/sweep/star-response.js';
import { planNight } from '../../../src/simulate/plan-night.js';
import { scenarioSchema } from '../../../src/simulate/scenario.js';
import { makeStarImage } from '../../../src/simulate/star-image.js';
import { pixelMoments } from './traced-sweep.js';

const open = starResponse(0);

describe('answer of adaptive moments to defocus', () => {
  it('is one in focus, even and symmetric', () => {
    expect(open.moment(0, 0)).toBeCloseTo(1, 9);
    expect(open.moment(-1.3, 0.7)).toBe(open.moment(1.3, 0.7));
  });

  it('agrees with the curves that the night’s joint fit uses, computed on another grid, where those hold', () => {
    for (const disc of [0.25, 0.5, 1, 1.5, 2, 2.5]) {
      // Those curves lie between an open and an obstructed pupil: 1 % by their own account.
      const added = (disc * disc) / 16 / 0.2;
      expect(open.moment(disc, disc) / isotropicResponse(added).value).toBeCloseTo(1, 2);
    }
  });

  it('grows as the square of the diameter far out, at the fixed point of a uniform disc', () => {
    // Matched Gaussian of a disc of radius a: 2q = e^q - 1 for q = a^2 / (2 sigma^2), q = 1.2564.
    const wide = 200;
    expect((open.moment(wide, wide) * 0.2) / ((wide / 2) ** 2 / (2 * 1.2564))).toBeCloseTo(1, 1);
  });

  it.each([0, 0.35])(
    'agrees with rays through the pupil, drawn in pixels (obstruction %f)',
    (obstruction) => {
      const response = starResponse(obstruction);
      const scenario = scenarioSchema.parse({
        name: 'rays',
        frames: 3,
        sweep: { rangeMicron: 240 },
        seeing: { arcsec: 4, spread: 0 },
        focus: { micronPerKelvin: 0, wanderMicron: 0 },
        tracking: { jitterRaArcsec: 0, jitterDecArcsec: 0 },
        optics: { astigmatismMicron: 40 },
        telescope: { obstruction },
      });
      const ratios = planNight(scenario).map((plan) => {
        const star = makeStarImage(scenario, plan);
        const reach = Math.ceil(star.spreadPx + 5 * star.profile.fwhm);
        const size = 2 * reach + 1;
        const stamp = new Float32Array(size * size);
        star.draw(stamp, size, size, reach + 1, reach + 1, 1, 2 * size, 1000, 350.5);
        const [xx, , yy] = pixelMoments(stamp, size, reach, reach, star.profile.fwhm);
        const r2 = (499.5 / (Math.hypot(1000, 700) / 2)) ** 2;
        const width = (micron: number): number => micron / (5 * 3.76 * star.profile.fwhm);
        const [t, s] = [plan.optics.focusMicron + 40 * r2, plan.optics.focusMicron - 40 * r2].map(width);
        const undisturbed = 0.2 * star.profile.fwhm ** 2;
        return [
          (xx - 1 / 12) / (undisturbed * response.moment(t!, s!)),
          (yy - 1 / 12) / (undisturbed * response.moment(s!, t!)),
        ];
      });
      // Pixels and a finite number of rays: 2 %.
      for (const ratio of ratios.flat()) expect(Math.abs(ratio - 1)).toBeLessThan(0.02);
    },
  );

  it('has the slopes that differences over a larger step have', () => {
    const [, byAlong, byAcross] = momentWithSlopes(open, 1.2, 0.6);
    expect(byAlong).toBeCloseTo((open.moment(1.21, 0.6) - open.moment(1.19, 0.6)) / 0.02, 2);
    expect(byAcross).toBeCloseTo((open.moment(1.2, 0.61) - open.moment(1.2, 0.59)) / 0.02, 2);
  });

  it('refuses an obstruction that leaves no pupil', () => {
    expect(() => starResponse(1)).toThrow(RangeError);
    expect(() => starResponse(NaN)).toThrow(RangeError);
  });
});
