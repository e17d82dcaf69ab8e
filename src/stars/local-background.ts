import { coreNumbers, groupedNormalCore } from '../stats/index.js';
import type { StarWindow } from './star-window.js';

/** Pixels of the ring that are looked at, at most. */
const MOST = 1024;
/** Where the numbers of the core lie among those of the desk, out of the way of the results. */
const CUT = 16;
/** The core reaches so many sd below the sky and above it. */
const REACH = { below: 3, above: 2.5 };

/**
 * Sky about one star, ADU above the window's sky map: the normal core of the pixels in a ring of radii `inner`..`outer` px about 0-based (x, y),
 * neighbours' light left out by keeping below +2.5 sd. Also its standard error.
 *
 * `quantum` (ADU): step of rounded values, 0 when there is none; modelled where the noise is not much larger.
 * Fewer than 20 usable pixels in the ring: level 0 (the map stands), error the pixel noise over 5.
 */
export function localBackground(
  window: StarWindow,
  x: number,
  y: number,
  inner: number,
  outer: number,
  quantum = 0,
): { readonly level: number; readonly error: number } {
  const area = Math.PI * (outer * outer - inner * inner);
  const stride = Math.max(1, Math.ceil(area / 500));
  const { kernels, lines, linesAt, numbers, numbersAt, valuesAt, usableAt } = window.desk;
  const sampleAt = linesAt[0];
  const n = kernels.ringSample(
    valuesAt,
    usableAt,
    window.width,
    window.height,
    x - window.x0,
    y - window.y0,
    inner * inner,
    outer * outer,
    stride,
    MOST,
    sampleAt,
  );
  if (n < 20) return { level: 0, error: window.noise / 5 };
  const median = kernels.median(sampleAt, n);
  const error = (1.3 * window.noise) / Math.sqrt(n);
  const sane = (mean: number, used: number): number =>
    used >= n / 4 && Math.abs(mean - median) < 2 * window.noise ? mean : median;
  if (window.noise < 2 * quantum) {
    const core = groupedNormalCore(lines[0], n, quantum, { mean: median, sd: window.noise }, REACH.above);
    return { level: sane(core.mean, core.used), error };
  }
  numbers.set(coreNumbers(REACH.below, REACH.above), CUT);
  kernels.normalCore(sampleAt, n, median, window.noise, numbersAt + 8 * CUT, numbersAt);
  return { level: sane(numbers[0], numbers[2]), error };
}
