/** Axis ratio and axis of a star image. */
export interface AdaptiveShape {
  /** Square root of the ratio of the principal second moments, >= 1. */
  readonly elongation: number;
  /** Degrees counter-clockwise from +x, in [0, 180). */
  readonly angleDeg: number;
}

/** The Gaussian weight keeps a sum over samples exact while its narrow axis spans this many of them. */
const SAMPLES_PER_SIGMA = 2.5;
const ROUNDS = 60;
const SETTLED = 1e-7;

/**
 * Shape of a noiseless star on a square grid of samples about (cx, cy), by the second moments of the Gaussian that, as weight, reproduces itself (Bernstein & Jarvis
 * 2002, section 3): a Gaussian or Moffat fitted to a trailed star has the same axis ratio within 0.004, while the half-maximum contour is longer and unweighted moments,
 * which follow the round wings, are shorter.
 *
 * `fwhm`: first guess of the width, samples. Throws RangeError where no such Gaussian is found: light that has no centre.
 */
export function adaptiveShape(
  grid: Float64Array,
  side: number,
  cx: number,
  cy: number,
  fwhm: number,
): AdaptiveShape {
  const stride = Math.max(1, Math.floor(fwhm / 2.3548 / SAMPLES_PER_SIGMA));
  let xx = (fwhm / 2.3548) ** 2;
  let yy = xx;
  let xy = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const weight = xx * yy - xy * xy;
    const [a, b, c] = [yy / weight, -xy / weight, xx / weight];
    let sum = 0;
    let sxx = 0;
    let sxy = 0;
    let syy = 0;
    for (let j = 0; j < side; j += stride) {
      const y = j - cy;
      for (let i = 0; i < side; i += stride) {
        const x = i - cx;
        const light = grid[j * side + i] * Math.exp(-0.5 * (a * x * x + 2 * b * x * y + c * y * y));
        sum += light;
        sxx += light * x * x;
        sxy += light * x * y;
        syy += light * y * y;
      }
    }
    // A Gaussian times its like has half its variance.
    const next = [(2 * sxx) / sum, (2 * sxy) / sum, (2 * syy) / sum];
    const change = Math.max(Math.abs(next[0] - xx), Math.abs(next[1] - xy), Math.abs(next[2] - yy));
    [xx, xy, yy] = next;
    if (!(xx * yy - xy * xy > 0)) break;
    if (change < SETTLED * (xx + yy)) return principal(xx, xy, yy);
  }
  if (xx * yy - xy * xy > 0) return principal(xx, xy, yy);
  throw new RangeError('no Gaussian matches this star image');
}

function principal(xx: number, xy: number, yy: number): AdaptiveShape {
  const half = (xx + yy) / 2;
  const split = Math.hypot((xx - yy) / 2, xy);
  const angle = ((Math.atan2(2 * xy, xx - yy) / 2) * 180) / Math.PI;
  return { elongation: Math.sqrt((half + split) / (half - split)), angleDeg: (angle + 180) % 180 };
}
