import { expect, it } from 'vitest';
import { words } from '../../../src/report/panels/words.js';
import { viewNight } from '../../../src/report/view.js';
import { syntheticNight } from '../synthetic-night.js';

it('states the limits that were in force, and only those', () => {
  const night = syntheticNight({ frames: 1 });
  const draw = (limits: Partial<typeof night.limits>) =>
    words.draw(viewNight({ ...night, limits: { ...night.limits, ...limits } }, { pictures: false }))!.text;
  expect(draw({})).toContain('elongation above 1.35; transparency under 0.70; fewer than 8 stars');
  expect(draw({ elongation: null })).not.toContain('elongation above');
  expect(draw({ keepBest: 0.8, weight: 0.3, fwhmArcsec: 4 })).toMatch(
    /FWHM above 4.00″[^]*weight under 0.30 × the median of the group&#39;s better half[^]*best 80 %/,
  );
});
