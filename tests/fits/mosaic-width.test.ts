import { describe, expect, it } from 'vitest';
import { chooseImage, openFitsBytes, readPlane } from '../../src/fits/index.js';
import { measureBackground } from '../../src/image/index.js';
import { measureStars, summariseStars } from '../../src/stars/index.js';
import { kolmogorov } from '../scenes/profiles.js';
import { makeScene, scatterStars } from '../scenes/scene.js';
import { makeStarImage } from '../scenes/star-image.js';
import { fitsBytes } from './fits-bytes.js';

const width = 800;
const height = 620;

function measuredFwhm(cards: Record<string, string>, pixel: (index: number) => number): number {
  const bytes = fitsBytes({ axes: [width, height], cards: { BZERO: '32768', ...cards }, pixel });
  const file = openFitsBytes('scene.fits', bytes);
  const plane = readPlane(file, chooseImage(file));
  const { table } = measureStars(plane, measureBackground(plane));
  return summariseStars(table, width, height).fwhm.value!;
}

/** FWHM of a mosaic over that of the same scene in monochrome, whose green pixels are the same to the electron. */
function ratio(
  seeingPx: number,
  seed: number,
  pattern: string,
  rows: string,
  dx: number,
  dy: number,
): number {
  const image = makeStarImage(kolmogorov(seeingPx), Math.max(10, 7 * seeingPx), Math.round(30 / seeingPx));
  const stars = scatterStars(320, width, height, seed, { faintest: 4000, brightest: 300_000 });
  const colourAt = (i: number): 'R' | 'G' | 'B' => {
    const row = Math.floor(i / width);
    const y = rows === 'BOTTOM-UP' ? height - 1 - row : row;
    return pattern[((y + dy) & 1) * 2 + (((i % width) + dx) & 1)] as 'R' | 'G' | 'B';
  };
  const cell = [0, 1, width, width + 1].map(colourAt) as ['R', 'G', 'G', 'B'];
  const scene = { width, height, stars, image, sky: 600, readNoise: 4, offsetAdu: 100 };
  const mono = makeScene({ ...scene, seed });
  const colours = { R: 0.65, G: 1, B: 0.45 };
  const tinted = makeScene({ ...scene, seed: seed + 1000, mosaic: { cell, source: 'scene' }, colours });
  const cards = {
    BAYERPAT: `'${pattern}'`,
    XBAYROFF: String(dx),
    YBAYROFF: String(dy),
    ROWORDER: `'${rows}'`,
  };
  const inColour = measuredFwhm(cards, (i) => (colourAt(i) === 'G' ? mono : tinted).data[i]! - 32768);
  return inColour / measuredFwhm({}, (i) => mono.data[i]! - 32768);
}

describe('stars of a colour mosaic are as wide as those of the same scene in monochrome', () => {
  // Limit: 1 %, down to where the green pixels, 1.41 px apart, are as coarse as the half-maximum width (1.6 px with the pixel).
  it.each([
    [1.4, 6, 'GBRG', 'TOP-DOWN', 0, 0],
    [1.8, 2, 'RGGB', 'BOTTOM-UP', 0, 1],
    [2.1, 7, 'BGGR', 'TOP-DOWN', 0, 0],
    [2.4, 1, 'RGGB', 'TOP-DOWN', 0, 0],
    [3, 3, 'BGGR', 'TOP-DOWN', 1, 0],
    [4.5, 4, 'GRBG', 'BOTTOM-UP', 1, 1],
    [6, 5, 'RGGB', 'TOP-DOWN', 0, 1],
  ])('seeing %f px, seed %i, %s %s, offsets %i %i', (...scene) => {
    expect(Math.abs(ratio(...scene) - 1)).toBeLessThan(0.01);
  });
});
