import { errorFunction } from 'simple-statistics';
import type { NormalCore } from './truncated-normal.js';

const INV_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);

/**
 * Mean and standard deviation of the normal behind values rounded to steps of `step`, when only the values up to the bin after mean + `above` sd are
 * trusted (extra light sits on the high side): maximum likelihood by expectation-maximisation over the bins (Dempster, Laird & Rubin 1977, section 4.2, grouped and truncated data).
 *
 * `values` must be multiples of `step` apart. The sd is that of the continuous quantity, before rounding. Fewer than 8 values: the start comes back.
 */
export function groupedNormalCore(
  values: Float64Array | Float32Array,
  count: number,
  step: number,
  start: { readonly mean: number; readonly sd: number },
  above = 1,
): NormalCore {
  let { mean, sd } = start;
  let used = 0;
  if (count < 8 || !(step > 0)) return { mean, sd, used: count };
  sd = Math.max(sd, 0.2 * step);
  const origin = values[0];
  for (let round = 0; round < 3; round += 1) {
    // Bins by number from the origin's; the last trusted one, and far below the first.
    const last = Math.floor((mean + above * sd - origin) / step) + 1;
    const first = Math.min(last - 1, Math.round((mean - 5 * sd - origin) / step));
    const counts = new Float64Array(last - first + 1);
    used = 0;
    for (let i = 0; i < count; i += 1) {
      const bin = Math.round((values[i] - origin) / step) - first;
      if (bin < 0 || bin >= counts.length) continue;
      counts[bin] += 1;
      used += 1;
    }
    if (used < 8) return { mean: start.mean, sd: start.sd, used };
    const top = origin + (last + 0.5) * step;
    for (let iteration = 0; iteration < 60; iteration += 1) {
      let n = 0;
      let sum = 0;
      let squares = 0;
      const add = (weight: number, low: number, high: number): void => {
        const part = conditional(low, high);
        if (part === null || weight === 0) return;
        n += weight;
        sum += weight * part[0];
        squares += weight * part[1];
      };
      for (let bin = 0; bin < counts.length; bin += 1) {
        if (counts[bin] === 0) continue;
        const low = origin + (first + bin - 0.5) * step;
        add(counts[bin], (low - mean) / sd, (low + step - mean) / sd);
      }
      // Those that the truncation hides, as many as the model says.
      const b = (top - mean) / sd;
      const mass = cumulative(b);
      add(used * ((1 - mass) / Math.max(mass, 0.05)), b, 12);
      if (!(n > 0)) break;
      const shift = sum / n;
      const variance = squares / n - shift * shift;
      const nextMean = mean + sd * shift;
      const nextSd = Math.max(0.15 * step, sd * Math.sqrt(Math.max(variance, 1e-6)));
      const change = Math.abs(nextMean - mean) + Math.abs(nextSd - sd);
      mean = nextMean;
      sd = nextSd;
      if (change < 1e-4 * sd) break;
    }
  }
  return { mean, sd, used };
}

/** Mean and mean square of a standard normal between two bounds. */
function conditional(low: number, high: number): readonly [number, number] | null {
  const mass = cumulative(high) - cumulative(low);
  if (mass < 1e-9) {
    const middle = Math.abs(low) < Math.abs(high) ? low : high;
    return [middle, middle * middle];
  }
  const dLow = density(low);
  const dHigh = density(high);
  return [(dLow - dHigh) / mass, 1 + (low * dLow - high * dHigh) / mass];
}

function density(z: number): number {
  return INV_SQRT_2PI * Math.exp(-0.5 * z * z);
}

function cumulative(z: number): number {
  return 0.5 * (1 + errorFunction(z / Math.SQRT2));
}
