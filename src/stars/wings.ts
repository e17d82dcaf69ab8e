import { medianInPlace, weightedMedian } from '../stats/index.js';
import type { StarWindow } from './star-window.js';

/** Mean light of the frame's stars in rings about the centre, out to where it ends; lengths in units of each star's own width. */
export interface WingCollector {
  /** Outer radii of the rings. */
  readonly radii: Float64Array;
  /** Per star: light per square of its width in each ring, over the star's flux within the reference radius. */
  readonly rings: Float64Array[];
  /** What each star counts: its signal to noise squared, levelled off. */
  readonly weights: number[];
  readonly reference: number;
}

const RINGS_PER_WIDTH = 4;
/** Distance (widths) from which the outer light is taken to follow a power law. */
const LAW_FROM = 3;
export const WING_REACH = 6;

/** Rings a quarter of a width wide, out to `WING_REACH` widths. */
export function makeWingCollector(reference: number): WingCollector {
  const count = RINGS_PER_WIDTH * WING_REACH;
  const radii = Float64Array.from({ length: count }, (_, k) => (k + 1) / RINGS_PER_WIDTH);
  return { radii, rings: [], weights: [], reference };
}

/**
 * Add one bright star: ring means (neighbours clipped) above the star's own outermost rings, over the flux within the reference radius.
 *
 * `fluxWithinReference` is taken above the window's sky; the outermost rings' level is taken off it here.
 */
export function collectWings(
  collector: WingCollector,
  window: StarWindow,
  x: number,
  y: number,
  widthPx: number,
  fluxWithinReference: number,
): void {
  const { radii } = collector;
  const samples: number[][] = Array.from(radii, () => []);
  const step = radii[0];
  for (let j = 0; j < window.height; j += 1) {
    for (let i = 0; i < window.width; i += 1) {
      const k = j * window.width + i;
      if (!window.usable[k]) continue;
      const ring = Math.floor(Math.hypot(window.x0 + i - x, window.y0 + j - y) / (step * widthPx));
      if (ring < radii.length) samples[ring].push(window.values[k]);
    }
  }
  const level = ringLevel(samples.slice(-RINGS_PER_WIDTH).flat(), window.noise);
  const flux = fluxWithinReference - level * Math.PI * (collector.reference * widthPx) ** 2;
  if (!(flux > 0)) return;
  const scale = widthPx ** 2 / flux;
  const ratio = flux / (window.noise * widthPx);
  collector.weights.push((ratio * ratio) / (1 + (ratio / 300) ** 2));
  collector.rings.push(Float64Array.from(samples, (ring) => scale * (ringLevel(ring, window.noise) - level)));
}

/** Mean of a ring within three spreads of its median: a median alone would stick to the steps of coarse integers. NaN for fewer than four pixels. */
function ringLevel(values: number[], noise: number): number {
  if (values.length < 4) return NaN;
  const median = medianInPlace(values);
  const spread = Math.max(noise, 1.4826 * medianInPlace(values.map((v) => Math.abs(v - median))));
  let sum = 0;
  let n = 0;
  for (const v of values) {
    if (Math.abs(v - median) > 3 * spread) continue;
    sum += v;
    n += 1;
  }
  return sum / n;
}

/** Light of the mean star beyond the reference radius. */
export interface Wings {
  /** Total flux over the flux within the reference radius, >= 1, and its standard error. */
  readonly totalOverReference: number;
  readonly error: number;
}

/** Slope of the outer light of a long exposure through the atmosphere: I ~ r^(-11/3) (Roddier 1981; Racine 1996). */
const SEEING_SLOPE = 11 / 3;
/** Out to here (widths) the rings are summed; beyond, the power law stands for them. */
const SUMMED_TO = 4;

/**
 * How much light lies beyond the reference radius: weighted median over stars of each ring, a constant sky residue and an r^(-11/3) law fitted to the outer rings and carried
 * to infinity. Null with fewer than three stars.
 */
export function describeWings(collector: WingCollector): Wings | null {
  const { radii, rings, reference, weights } = collector;
  if (rings.length < 3) return null;
  const step = radii[0];
  const profile = Float64Array.from(radii, (_, k) =>
    weightedMedian(
      rings.map((star) => star[k]),
      weights,
    ),
  );
  const law = fitOuterLaw(profile, step);
  if (law === null) return null;
  let beyond = 0;
  for (let k = 0; k < SUMMED_TO * RINGS_PER_WIDTH; k += 1) {
    const r1 = radii[k];
    const r0 = Math.max(reference, r1 - step);
    if (r1 <= reference || !Number.isFinite(profile[k])) continue;
    beyond += (profile[k] - law.constant) * Math.PI * (r1 * r1 - r0 * r0);
  }
  const tail = (2 * Math.PI * law.amplitude * SUMMED_TO ** (2 - SEEING_SLOPE)) / (SEEING_SLOPE - 2);
  // The reference flux itself was taken above the same sky residue.
  const inside = 1 - law.constant * Math.PI * reference * reference;
  // The sky residue, known from the rings beyond the start of the law, acts on the area summed; weights are squared signal to noise per width.
  // The factor (medians, and a law that is fitted along with the residue) is from the scatter over simulated frames.
  const information = weights.reduce((sum, w) => sum + w, 0);
  const ringArea = Math.PI * (WING_REACH ** 2 - LAW_FROM ** 2);
  const error = (4 * Math.PI * SUMMED_TO ** 2) / Math.sqrt(information * ringArea);
  return { totalOverReference: Math.max(1, (inside + beyond + tail) / inside), error };
}

/** Constant and amplitude (at one width) of constant + amplitude r^(-11/3), least squares over the rings where seeing has come near that law, weighted by their area. */
function fitOuterLaw(profile: Float64Array, step: number): { constant: number; amplitude: number } | null {
  let n = 0;
  let sq = 0;
  let sqq = 0;
  let sv = 0;
  let sqv = 0;
  for (let k = LAW_FROM * RINGS_PER_WIDTH; k < profile.length; k += 1) {
    if (!Number.isFinite(profile[k])) continue;
    const r = (k + 0.5) * step;
    const q = r ** -SEEING_SLOPE;
    n += r;
    sq += r * q;
    sqq += r * q * q;
    sv += r * profile[k];
    sqv += r * q * profile[k];
  }
  const determinant = n * sqq - sq * sq;
  if (!(determinant > 0)) return null;
  const amplitude = Math.max(0, (n * sqv - sq * sv) / determinant);
  return { constant: (sv - amplitude * sq) / n, amplitude };
}
