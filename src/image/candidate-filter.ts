import { medianInPlace } from '../stats/index.js';

/** What the matched filter says about one local maximum; stored units. */
export interface FilteredPeak {
  /** Signal to noise against the sky map. */
  readonly snr: number;
  /** Signal to noise against the ring around the peak: low on a slope of light that has no star of its own. */
  readonly ringSnr: number;
  /** Level of that ring above the sky map, in units of noise. */
  readonly ringLevel: number;
  /** Flux in units of value x (binned) pixels. */
  readonly flux: number;
  readonly dx: number;
  readonly dy: number;
}

/** Gaussian matched filter on a 5 x 5 box about local maxima, with a 7 x 7 ring for the surroundings. Null for a peak that does not reach `threshold`. */
export function makeCandidateFilter(
  fwhm: number,
): (
  image: Uint16Array | Float32Array,
  stride: number,
  k: number,
  level: number,
  noise: number,
  threshold: number,
) => FilteredPeak | null {
  const sigma = fwhm / 2.3548;
  const weights = new Float64Array(25);
  let sumWeights = 0;
  let sumSquares = 0;
  for (let j = 0; j < 25; j += 1) {
    const dx = (j % 5) - 2;
    const dy = Math.floor(j / 5) - 2;
    weights[j] = Math.exp(-(dx * dx + dy * dy) / (2 * sigma * sigma));
    sumWeights += weights[j];
    sumSquares += weights[j] ** 2;
  }
  // The flux of a star that equals the filter, seen through it: sum(w v) = flux sum(w^2) / sum(w).
  const perFlux = sumSquares / sumWeights;
  const root = Math.sqrt(sumSquares);
  const ring = new Float64Array(24);
  return (image, stride, k, level, noise, threshold) => {
    let signal = 0;
    for (let j = 0; j < 5; j += 1) {
      const row = k + (j - 2) * stride - 2;
      for (let i = 0; i < 5; i += 1) signal += weights[5 * j + i] * (image[row + i] - level);
    }
    const snr = signal / (root * noise);
    if (!(snr > threshold)) return null;
    let n = 0;
    for (let i = -3; i <= 3; i += 1) {
      ring[n++] = image[k - 3 * stride + i];
      ring[n++] = image[k + 3 * stride + i];
    }
    for (let j = -2; j <= 2; j += 1) {
      ring[n++] = image[k + j * stride - 3];
      ring[n++] = image[k + j * stride + 3];
    }
    const around = medianInPlace(ring, n) - level;
    const left = image[k - 1];
    const right = image[k + 1];
    const down = image[k - stride];
    const up = image[k + stride];
    const centre = image[k];
    const curveX = 2 * centre - left - right;
    const curveY = 2 * centre - down - up;
    return {
      snr,
      ringSnr: (signal - Math.max(0, around) * sumWeights) / (root * noise),
      ringLevel: around / noise,
      flux: signal / perFlux,
      dx: curveX > 0 ? Math.max(-0.5, Math.min(0.5, (right - left) / (2 * curveX))) : 0,
      dy: curveY > 0 ? Math.max(-0.5, Math.min(0.5, (up - down) / (2 * curveY))) : 0,
    };
  };
}
