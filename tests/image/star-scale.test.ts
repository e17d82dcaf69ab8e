import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { estimateStarScale } from '../../src/image/star-scale.js';
import { annulus, convolved, gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { seeingImage, starField } from '../scenes/star-field.js';

describe('star scale', () => {
  // A search scale, not a figure: 20 % is enough to pick the right bin factor.
  it.each([
    ['seeing of 2 px', seeingImage(2), 150],
    ['seeing of 4 px', seeingImage(4), 150],
    ['seeing of 9 px', seeingImage(9), 80],
    ['ring of 34 px', makeStarImage(convolved(gaussian(3), annulus(34, 0.4), 17.5, 1), 26, 4), 25],
  ])('comes near the half-flux diameter: %s', (_, image, count) => {
    const { plane } = starField(image, { count, snr: [50, 500] });
    const scale = estimateStarScale(plane, measureBackground(plane));
    expect(scale).not.toBeNull();
    expect(Math.abs(scale! / image.truth.hfd - 1)).toBeLessThan(0.2);
  });

  it('is null where there is no star', () => {
    const { plane } = starField(seeingImage(3), { stars: [] });
    expect(estimateStarScale(plane, measureBackground(plane))).toBeNull();
  });
});
