import { mean, sampleVariance } from 'simple-statistics';

/** The strongest period of an unevenly sampled series. */
export interface StrongestPeriod {
  /** Same unit as the times. */
  readonly period: number;
  readonly amplitude: number;
  /** Power over the series' variance (Scargle's normalisation). */
  readonly power: number;
  /** Probability of so strong a peak among the frequencies tried in noise alone. */
  readonly falseAlarm: number;
}

/**
 * Lomb-Scargle periodogram: the strongest period between `shortest` and the length of the series.
 *
 * Power and false-alarm probability 1 - (1 - exp(-z))^M after Scargle 1982, ApJ 263, 835, M the number of independent frequencies in the
 * range; four times as many are tried. Null with fewer than eight values, no spread, or a series shorter than twice `shortest`.
 */
export function strongestPeriod(
  times: readonly number[],
  values: readonly number[],
  shortest: number,
): StrongestPeriod | null {
  const span = Math.max(...times) - Math.min(...times);
  if (values.length < 8 || !(shortest > 0) || span < 2 * shortest) return null;
  const variance = sampleVariance([...values]);
  if (!(variance > 0)) return null;
  const middle = mean([...values]);
  const independent = Math.max(1, Math.floor(span / shortest));
  let best = { power: 0, frequency: 1 / span, amplitude: 0 };
  for (let k = 0; k <= 4 * (independent - 1); k++) {
    const frequency = (1 + k / 4) / span;
    const w = 2 * Math.PI * frequency;
    let s2 = 0;
    let c2 = 0;
    for (const t of times) {
      s2 += Math.sin(2 * w * t);
      c2 += Math.cos(2 * w * t);
    }
    const tau = Math.atan2(s2, c2) / (2 * w);
    let [yc, ys, cc, ss] = [0, 0, 0, 0];
    times.forEach((t, i) => {
      const [c, s] = [Math.cos(w * (t - tau)), Math.sin(w * (t - tau))];
      yc += (values[i]! - middle) * c;
      ys += (values[i]! - middle) * s;
      cc += c * c;
      ss += s * s;
    });
    const cosine = cc > 1e-9 ? yc / cc : 0;
    const sine = ss > 1e-9 ? ys / ss : 0;
    const power = (yc * cosine + ys * sine) / (2 * variance);
    if (power > best.power) best = { power, frequency, amplitude: Math.hypot(cosine, sine) };
  }
  return {
    period: 1 / best.frequency,
    amplitude: best.amplitude,
    power: best.power,
    falseAlarm: 1 - (1 - Math.exp(-best.power)) ** independent,
  };
}
