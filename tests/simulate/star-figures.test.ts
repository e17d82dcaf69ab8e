import { describe, expect, it } from 'vitest';
import { planNight } from '../../src/simulate/plan-night.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { trueStarFigures } from '../../src/simulate/star-figures.js';
import type { StarFigures } from '../../src/simulate/star-figures.js';
import { makeStarImage } from '../../src/simulate/star-image.js';

/** Figures of the star in the middle of the first frame; 1 arcsec is 1 px. */
function figures(changes: Partial<ScenarioInput>): StarFigures {
  const scenario = parseScenario(
    {
      name: 'one-star',
      camera: { pixelMicron: 4, widthPx: 400, heightPx: 300 },
      telescope: { focalLengthMm: 206.264806 * 4, apertureMm: (206.264806 * 4) / 5 },
      seeing: { arcsec: 4, spread: 0, wings: 'gaussian' },
      tracking: { jitterRaArcsec: 0, jitterDecArcsec: 0, spread: 0 },
      ...changes,
    },
    'test',
  );
  const plan = planNight(scenario)[0];
  return trueStarFigures(makeStarImage(scenario, plan), 200.5, 150.5);
}

/** FWHM of a Gaussian star with its pixel: exact to second order in pixel over width. */
const withPixel = (fwhm: number): number => Math.sqrt(fwhm ** 2 + (8 * Math.LN2) / 12);

describe('trueStarFigures', () => {
  it('a Gaussian star: half-flux diameter and FWHM are the same', () => {
    const star = figures({});
    // The pixel is not Gaussian, and the samples are interpolated: 0.3 % together.
    expect(star.fwhmPx / withPixel(4)).toBeCloseTo(1, 2.3);
    expect(star.hfdPx / withPixel(4)).toBeCloseTo(1, 2.3);
    expect(star.elongation).toBeCloseTo(1, 3);
  });

  it('does not depend on how finely it looks: a sharp star and a wide one obey the same law', () => {
    for (const fwhm of [1.8, 2.5, 7]) {
      const star = figures({ seeing: { arcsec: fwhm, spread: 0, wings: 'gaussian' } });
      expect(Math.abs(star.fwhmPx / withPixel(fwhm) - 1)).toBeLessThan(0.006);
      expect(Math.abs(star.hfdPx / withPixel(fwhm) - 1)).toBeLessThan(0.006);
    }
  });

  it('Gaussian motion widens one axis: FWHM is the geometric mean, elongation the ratio', () => {
    const star = figures({ tracking: { jitterRaArcsec: 1.5, jitterDecArcsec: 0, spread: 0 } });
    const along = Math.sqrt(withPixel(4) ** 2 + 8 * Math.LN2 * 1.5 ** 2);
    // Motion is some sixty rays, not a continuum: their fourth moment is not quite that of a Gaussian.
    expect(Math.abs(star.elongation / (along / withPixel(4)) - 1)).toBeLessThan(0.03);
    expect(Math.abs(star.fwhmPx / Math.sqrt(along * withPixel(4)) - 1)).toBeLessThan(0.015);
    expect(Math.abs(star.angleDeg)).toBeLessThan(1);
  });

  it('a large defocus makes a uniform disc: half-flux diameter D / sqrt(2), FWHM D', () => {
    const star = figures({
      seeing: { arcsec: 2.5, spread: 0, wings: 'gaussian' },
      focus: { startMicron: 400, wanderMicron: 0 },
    });
    const diameter = 400 / 5 / 4;
    // Seeing and pixel round the edge: an enclosed-light radius gains about (variance / D^2) of itself.
    expect(Math.abs(star.hfdPx / (diameter / Math.SQRT2) - 1)).toBeLessThan(0.02);
    expect(Math.abs(star.fwhmPx / diameter - 1)).toBeLessThan(0.02);
  });

  it('a Kolmogorov star has more light outside: its half-flux diameter exceeds its FWHM by 8 to 16 %', () => {
    const star = figures({ seeing: { arcsec: 4, spread: 0, wings: 'kolmogorov' } });
    expect(star.hfdPx / star.fwhmPx).toBeGreaterThan(1.08);
    expect(star.hfdPx / star.fwhmPx).toBeLessThan(1.16);
  });
});
