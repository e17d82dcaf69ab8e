import { describe, expect, it } from 'vitest';
import { fitStars } from '../../src/stars/fit-stars.js';
import { learnWings } from '../../src/stars/learn-wings.js';
import { halfFluxOverWidth } from '../../src/stars/profile-half-flux.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { lookedAt } from '../scenes/looked-at.js';

describe('half-flux diameter over width', () => {
  it('is one for Gaussian stars, narrow ones too', () => {
    const image = makeStarImage(gaussian(1.6), 10, 16);
    const { setting, looks } = lookedAt(image, { count: 120, snr: [60, 1000] });
    const clean = [...looks.keys()].filter((k) => looks[k].flags === 0);
    const frame = fitStars(setting, looks, clean, clean, null);
    const wings = learnWings(setting, looks, clean, frame);
    const { major, minor } = frame.correction;
    const found = halfFluxOverWidth(setting, looks, clean, frame, wings)!;
    const ratio = found.overWidth / Math.sqrt(major * minor);
    // With the pixel's box on top the ratio is that of the truth, near 1.
    expect(Math.abs(ratio / (image.truth.hfd / image.truth.fwhm) - 1)).toBeLessThan(0.012);
    // What it says of the wings' error is what it does when they are wrong by so much.
    const off = { ...wings, totalOverReference: wings.totalOverReference * (1 + wings.totalError) };
    const moved = halfFluxOverWidth(setting, looks, clean, frame, off)!.overWidth / found.overWidth - 1;
    expect(Math.abs(found.error / moved - 1)).toBeLessThan(0.05);
  });
});
