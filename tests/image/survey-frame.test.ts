import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { surveyFrame } from '../../src/image/survey-frame.js';
import { planeOf } from '../scenes/plane.js';
import { annulus, convolved, gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { seeingImage, starField } from '../scenes/star-field.js';

/** Light of a trail from corner to corner. */
const trail = (light: Float32Array | Float64Array, width: number): void => {
  const length = Math.hypot(900, 700);
  for (let k = 0; k < light.length; k += 1) {
    const across = ((k % width) * 700 - Math.floor(k / width) * 900) / length;
    light[k] += 90 * Math.exp((-across * across) / 4);
  }
};

describe('survey of a frame', () => {
  // The bin factors of the search are 2, 1, and 16: in the last the trail is looked for in blocks of its own.
  it.each([
    ['ordinary stars', seeingImage(3), 120],
    ['narrow stars', seeingImage(1.5), 120],
    ['defocused stars', makeStarImage(convolved(gaussian(3), annulus(30, 0.4), 15.5, 1), 24, 4), 25],
  ])('finds stars and the trail across them: %s', (_, image, count) => {
    const { plane } = starField(image, { count, snr: [60, 400], extra: trail });
    const { sources, streaks } = surveyFrame(plane, measureBackground(plane));
    expect(sources.count).toBeGreaterThan(0.8 * count);
    expect(streaks).toHaveLength(1);
    expect(Math.abs(streaks[0].angleDeg - (Math.atan2(700, 900) * 180) / Math.PI)).toBeLessThan(1);
  });

  it('finds nothing where there is no sky', () => {
    const blank = planeOf(60, 60, () => NaN, { asFloat: true });
    const { sources, streaks } = surveyFrame(blank, measureBackground(blank));
    expect(sources.count).toBe(0);
    expect(streaks).toEqual([]);
  });
});
