import { medianInPlace } from '../stats/index.js';
import { StarFlag, type StarTable } from './types.js';

/**
 * Flux (ADU) of a star that would reach signal to noise 5 on this frame: depth.
 *
 * From the stars' own noise: (flux / snr)^2 = sky part + photon factor x flux (CCD equation: Howell, Handbook of CCD Astronomy, ch. 4), the
 * two parts by the medians of pairs (Theil-Sen) of faint and bright stars. Null with fewer than five usable stars.
 */
export function limitingFlux(table: StarTable): number | null {
  const spoilt =
    StarFlag.Saturated | StarFlag.Edge | StarFlag.BadPixels | StarFlag.TooSharp | StarFlag.Extended;
  const flux: number[] = [];
  const variance: number[] = [];
  for (let k = 0; k < table.count; k += 1) {
    if (table.flags[k] & spoilt || !(table.snr[k] > 3) || !(table.flux[k] > 0)) continue;
    flux.push(table.flux[k]);
    variance.push((table.flux[k] / table.snr[k]) ** 2);
  }
  const n = flux.length;
  if (n < 5) return null;
  const half = n >> 1;
  const slopes: number[] = [];
  for (let k = 0; k < half; k += 1) {
    const run = flux[k] - flux[n - half + k];
    if (run > 0.1 * flux[k]) slopes.push((variance[k] - variance[n - half + k]) / run);
  }
  const factor = slopes.length > 0 ? Math.max(0, medianInPlace(slopes)) : 0;
  // The sky part from the faint half, where it rules.
  const sky = medianInPlace(
    flux.slice(n - half).map((f, k) => Math.max(0, variance[n - half + k] - factor * f)),
  );
  return (25 * factor + Math.sqrt(625 * factor * factor + 100 * sky)) / 2;
}
