import type { SeeingProfile } from './seeing-profile.js';

/**
 * The seen star after integration over square pixels, as a function of where the pixel's centre lies relative to the star.
 * Finely sampled: `phases` samples a pixel along each axis, stored phase by phase so that neighbouring pixels of one phase
 * are neighbours in memory.
 */
export interface PixelStar {
  readonly phases: number;
  /** Pixels from the centre to the edge of the table. */
  readonly halfWidth: number;
  /** Pixels along one axis of a phase image: 2 halfWidth + 1. */
  readonly side: number;
  /** Sample for pixel offset (column - halfWidth + px/phases, row - halfWidth + py/phases) at ((py*phases + px)*side + row)*side + column. */
  readonly samples: Float32Array;
}

// Four-point Gauss-Legendre rule on [-1/2, 1/2] (Abramowitz & Stegun 1964, table 25.4).
const NODES = [-0.4305681558, -0.1699905218, 0.1699905218, 0.4305681558];
const WEIGHTS = [0.1739274226, 0.3260725774, 0.3260725774, 0.1739274226];

/**
 * Integrate a seeing profile (pixels) over the pixel square at every phase.
 * `halfWidth`: whole pixels; light farther out is left out of the table, as wings under the noise would be.
 */
export function makePixelStar(profile: SeeingProfile, halfWidth: number): PixelStar {
  // Linear interpolation between samples widens the star by about phases^-2/6 px^2: under 0.1 % of FWHM at 20 samples per FWHM.
  const phases = Math.min(16, Math.max(4, Math.ceil(20 / profile.fwhm)));
  const side = 2 * halfWidth + 1;
  const samples = new Float32Array(phases * phases * side * side);
  const centre = halfWidth * phases;
  const fineSide = side * phases;
  const put = (fx: number, fy: number, value: number): void => {
    if (fx < 0 || fy < 0 || fx >= fineSide || fy >= fineSide) return;
    const px = fx % phases;
    const py = fy % phases;
    const column = (fx - px) / phases;
    const row = (fy - py) / phases;
    samples[((py * phases + px) * side + row) * side + column] = value;
  };
  const pixelMean = pixelMeans(profile, Math.SQRT2 * (halfWidth + 1));
  // One octant is computed, the others follow from symmetry.
  const reach = centre + phases - 1;
  for (let j = 0; j <= reach; j++) {
    for (let i = 0; i <= j; i++) {
      const value = pixelMean(i / phases, j / phases);
      for (const [fx, fy] of [
        [i, j],
        [j, i],
      ]) {
        put(centre + fx, centre + fy, value);
        put(centre - fx, centre + fy, value);
        put(centre + fx, centre - fy, value);
        put(centre - fx, centre - fy, value);
      }
    }
  }
  return { phases, halfWidth, side, samples };
}

/** Mean of a profile over the pixel centred at (x, y), out to a radius; far out it is straight enough for its centre to stand for its mean. */
function pixelMeans(profile: SeeingProfile, outer: number): (x: number, y: number) => number {
  const inner = 6 * profile.fwhm + 6;
  const perPx = 8;
  const table: number[] = [];
  for (let k = 0; k <= (outer + 1) * perPx + 1; k++)
    table.push(k < inner * perPx - 1 ? 0 : profile.at(k / perPx));
  return (x, y) => {
    const radius = Math.sqrt(x * x + y * y);
    if (radius > inner) {
      const k = Math.floor(radius * perPx);
      const t = radius * perPx - k;
      return (1 - t) * table[k] + t * table[k + 1];
    }
    let sum = 0;
    for (let b = 0; b < 4; b++) {
      for (let a = 0; a < 4; a++) {
        sum += WEIGHTS[a] * WEIGHTS[b] * profile.at(Math.sqrt((x + NODES[a]) ** 2 + (y + NODES[b]) ** 2));
      }
    }
    return sum;
  };
}
