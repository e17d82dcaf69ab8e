import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { makeStarImage } from '../../src/simulate/star-image.js';

const starOf = (changes: Partial<ScenarioInput>): ReturnType<typeof makeStarImage> => {
  const scenario = parseScenario({ name: 'x', frames: 1, ...changes }, 'test');
  return makeStarImage(scenario, planNight(scenario)[0]);
};
const drawn = (star: ReturnType<typeof makeStarImage>, reach: number): Float32Array => {
  const image = new Float32Array(121 * 121);
  star.draw(image, 121, 121, 61, 61, 1, reach, 500.5, 350.5);
  return image;
};

describe('makeStarImage', () => {
  it('takes more rays for more blur, within bounds', () => {
    const sharp = starOf({}).rays.count;
    const soft = starOf({ focus: { startMicron: 120 } }).rays.count;
    const trailed = starOf({ faults: [{ kind: 'guiding', driftArcsec: 12 }] }).rays.count;
    expect(sharp).toBeGreaterThanOrEqual(32);
    expect(soft).toBeGreaterThan(sharp);
    expect(trailed).toBeGreaterThan(sharp);
    expect(starOf({ focus: { startMicron: 1500 } }).rays.count).toBeLessThanOrEqual(1200);
  });

  it('draws wings from fewer rays that differ from the full sum by under 3 %', () => {
    const star = starOf({ focus: { startMicron: 60 }, seeing: { spread: 0 } });
    const image = drawn(star, 50);
    // The frame's own profile, blurred by a disc much smaller than the radius, is the profile itself.
    for (const radius of [22, 30, 40]) {
      expect(image[60 * 121 + 60 + radius] / star.profile.at(radius)).toBeCloseTo(1, 1);
    }
  });

  it.each(['kolmogorov', 'moffat', 'gaussian'] as const)('has %s wings of the asked FWHM', (wings) => {
    const star = starOf({ seeing: { wings, spread: 0, arcsec: 3.1 } });
    expect(star.profile.fwhm).toBeCloseTo(3.1 / 1.034, 2);
  });

  it('scatters light into a halo where dew lies', () => {
    const clear = drawn(starOf({ seeing: { spread: 0 } }), 50);
    const dewy = drawn(
      starOf({ seeing: { spread: 0 }, faults: [{ kind: 'dew', course: 'steady', loss: 0.5, halo: 0.4 }] }),
      50,
    );
    expect(dewy[60 * 121 + 60]).toBeLessThan(0.7 * clear[60 * 121 + 60]);
    expect(dewy[60 * 121 + 80]).toBeGreaterThan(2 * clear[60 * 121 + 80]);
  });
});
