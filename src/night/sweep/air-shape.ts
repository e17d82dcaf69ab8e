import { median } from 'simple-statistics';
import { KOLMOGOROV_EXPONENT, MOMENT_OVER_FWHM2 } from './star-response.js';
import type { SweepFit } from './sweep-fit.js';
import { discWidths } from './sweep-model.js';
import type { SweepFrame } from './types.js';

/** How the undisturbed stars of a sweep are made: by the air, the guiding's jitter and the pixels together. */
export interface AirShape {
  /** Adaptive moment over the square of the FWHM: 0.180 Gaussian, 0.200 Kolmogorov, 0.230 a Moffat star with beta 3. */
  readonly momentOverFwhm2: number;
  /** Exponent of the transfer function exp(-f^a) with that ratio. */
  readonly exponent: number;
  /** Stars near focus that it rests on; 0 = too few, Kolmogorov assumed. */
  readonly stars: number;
}

/**
 * Moment over FWHM^2 of the star with transfer function exp(-f^a), by a numerical Hankel transform; a = 2 is 1/(8 ln 2).
 * `tests/night/sweep/air-shape.test.ts` computes it again.
 */
const RATIO_OF_EXPONENT: readonly (readonly [exponent: number, ratio: number])[] = [
  [1.35, 0.2337],
  [1.45, 0.2207],
  [1.55, 0.2102],
  [KOLMOGOROV_EXPONENT, MOMENT_OVER_FWHM2],
  [1.75, 0.1942],
  [1.85, 0.188],
  [2, 0.1803],
];
/** Stars whose light is spread by defocus over less than this, in widths, tell the shape of the air. */
const NEAR_FOCUS = 0.7;
/** Fall of the ratio with the square of the disc's diameter in widths, in the range above (same computation). */
const FALL = 0.055;
const FEWEST_STARS = 12;

/**
 * Learn from the stars near focus how winged they are: the answer of the moments to defocus depends on it by several per cent
 * (Gaussian-like stars widen more slowly at first), and heights of the surfaces go with it.
 */
export function airShape(frames: readonly SweepFrame[], fit: SweepFit): AirShape {
  const ratios: number[] = [];
  frames.forEach((frame, f) => {
    for (const cell of frame.cells) {
      const { along, across } = discWidths(fit.shared, fit.own[f]!, cell, frame.outward);
      const square = (along * along + across * across) / 2;
      if (square < NEAR_FOCUS ** 2 && Number.isFinite(cell.momentOverFwhm2))
        ratios.push(cell.momentOverFwhm2 / (1 - FALL * square));
    }
  });
  if (ratios.length < FEWEST_STARS)
    return { momentOverFwhm2: MOMENT_OVER_FWHM2, exponent: KOLMOGOROV_EXPONENT, stars: 0 };
  const momentOverFwhm2 = median(ratios);
  return { momentOverFwhm2, exponent: exponentOf(momentOverFwhm2), stars: ratios.length };
}

/** Exponent for a ratio, in steps of 0.01 so that responses can be kept; held to the range of the table. */
export function exponentOf(momentOverFwhm2: number): number {
  const last = RATIO_OF_EXPONENT.length - 1;
  if (momentOverFwhm2 >= RATIO_OF_EXPONENT[0]![1]) return RATIO_OF_EXPONENT[0]![0];
  if (momentOverFwhm2 <= RATIO_OF_EXPONENT[last]![1]) return RATIO_OF_EXPONENT[last]![0];
  const i = RATIO_OF_EXPONENT.findIndex(([, ratio]) => ratio <= momentOverFwhm2);
  const [[e0, r0], [e1, r1]] = [RATIO_OF_EXPONENT[i - 1]!, RATIO_OF_EXPONENT[i]!];
  const exponent = e0 + ((momentOverFwhm2 - r0) / (r1 - r0)) * (e1 - e0);
  return Math.round(exponent * 100) / 100;
}
