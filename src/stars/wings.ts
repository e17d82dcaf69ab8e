import { medianInPlace } from '../stats/median.js';
import type { StarWindow } from './star-window.js';

/** Mean light of the frame's stars in rings about the centre, out to where it ends; lengths in units of each star's own width. */
export interface WingCollector {
  /** Outer radii of the rings. */
  readonly radii: Float64Array;
  /** Per star: light per square of its width in each ring, over the star's flux within the reference radius. */
  readonly rings: Float64Array[];
  readonly reference: number;
}

const RINGS_PER_WIDTH = 4;
export const WING_REACH = 6;

/** Rings a quarter of a width wide, out to `WING_REACH` widths. */
export function makeWingCollector(reference: number): WingCollector {
  const count = RINGS_PER_WIDTH * WING_REACH;
  const radii = Float64Array.from({ length: count }, (_, k) => (k + 1) / RINGS_PER_WIDTH);
  return { radii, rings: [], reference };
}

/**
 * Add one bright star: ring medians above the star's own outermost rings, over the flux within the reference radius.
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
  const level = medianInPlace(samples.slice(-RINGS_PER_WIDTH).flat());
  const flux = fluxWithinReference - level * Math.PI * (collector.reference * widthPx) ** 2;
  if (!(flux > 0)) return;
  const scale = widthPx ** 2 / flux;
  collector.rings.push(
    Float64Array.from(samples, (ring) => scale * ((ring.length > 3 ? medianInPlace(ring) : NaN) - level)),
  );
}

/** Light of the mean star beyond the reference radius. */
export interface Wings {
  /** Total flux over the flux within the reference radius, >= 1. */
  readonly totalOverReference: number;
  /** Light per square width at a radius (in widths) over the total flux: what the star itself adds to a sky ring. */
  readonly levelAt: (radius: number) => number;
}

/** Slope of the outer light of a long exposure through the atmosphere: I ~ r^(-11/3) (Roddier 1981; Racine 1996). */
const SEEING_SLOPE = 11 / 3;

/**
 * How much light lies beyond the reference radius: median over stars of each ring, a constant sky residue and an r^(-11/3) law fitted to the outer rings and carried
 * to infinity. Null with fewer than three stars.
 */
export function describeWings(collector: WingCollector): Wings | null {
  const { radii, rings, reference } = collector;
  if (rings.length < 3) return null;
  const step = radii[0];
  const profile = Float64Array.from(radii, (_, k) => {
    const values = rings.map((star) => star[k]).filter((v) => Number.isFinite(v));
    return values.length > 0 ? medianInPlace(values) : NaN;
  });
  // Fit level = constant + amplitude x r^(-11/3) over the outer half.
  let n = 0;
  let sq = 0;
  let sqq = 0;
  let sv = 0;
  let sqv = 0;
  for (let k = Math.floor(radii.length / 2); k < radii.length; k += 1) {
    if (!Number.isFinite(profile[k])) continue;
    const r = radii[k] - step / 2;
    const weight = r;
    const q = (r / step) ** -SEEING_SLOPE;
    n += weight;
    sq += weight * q;
    sqq += weight * q * q;
    sv += weight * profile[k];
    sqv += weight * q * profile[k];
  }
  const determinant = n * sqq - sq * sq;
  if (!(determinant > 0)) return null;
  const amplitude = Math.max(0, (n * sqv - sq * sv) / determinant);
  const constant = (sv - amplitude * sq) / n;
  let beyond = 0;
  const outer = radii[radii.length - 1];
  for (let k = 0; k < radii.length; k += 1) {
    const r1 = radii[k];
    const r0 = Math.max(reference, r1 - step);
    if (r1 <= reference || !Number.isFinite(profile[k])) continue;
    beyond += (profile[k] - constant) * Math.PI * (r1 * r1 - r0 * r0);
  }
  const tail =
    (2 * Math.PI * amplitude * step ** SEEING_SLOPE * outer ** (2 - SEEING_SLOPE)) / (SEEING_SLOPE - 2);
  // The reference flux itself was taken above the same sky residue.
  const inside = 1 - constant * Math.PI * reference * reference;
  const totalOverReference = Math.max(1, (inside + beyond + tail) / inside);
  const total = totalOverReference * inside;
  return {
    totalOverReference,
    levelAt: (radius) => {
      const k = Math.min(profile.length - 1, Math.max(0, Math.floor(radius / step)));
      return Math.max(0, (Number.isFinite(profile[k]) ? profile[k] - constant : 0) / total);
    },
  };
}
