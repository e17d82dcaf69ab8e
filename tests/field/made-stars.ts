import type { StarTable } from '../../src/stars/types.js';

/** Shape of the star image wanted at a place of the sensor: widths as FWHM in pixels along x and y before turning, and skewness. */
export interface WantedStar {
  readonly fwhm: number;
  readonly e1?: number;
  readonly e2?: number;
  readonly skewX?: number;
  readonly skewY?: number;
}

/** Seeded uniform numbers in [0, 1): mulberry32, public domain. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal number from a uniform source (Box & Muller 1958). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** A table of stars strewn over the sensor, with the shape wanted at each place and 3 % noise. */
export function madeStars(
  count: number,
  widthPx: number,
  heightPx: number,
  wanted: (x: number, y: number) => WantedStar,
  options: { readonly seed?: number; readonly noise?: number; readonly flag?: (i: number) => number } = {},
): StarTable {
  const random = seeded(options.seed ?? 1);
  const noise = options.noise ?? 0.03;
  const column = (): Float64Array => new Float64Array(count);
  const names = [
    'x',
    'y',
    'flux',
    'peak',
    'snr',
    'background',
    'fwhm',
    'fwhmError',
    'elongation',
    'angleDeg',
    'e1',
    'e2',
    'eError',
    'axis1',
    'axis2',
    'axisError',
    'beta',
    'hfd',
    'hfdError',
    'mxx',
    'mxy',
    'myy',
    'mError',
    'skewX',
    'skewY',
    'skewError',
  ] as const;
  const columns = Object.fromEntries(names.map((name) => [name, column()])) as Record<
    (typeof names)[number],
    Float64Array
  >;
  const flags = new Uint16Array(count);
  for (let i = 0; i < count; i++) {
    const x = 0.5 + random() * widthPx;
    const y = 0.5 + random() * heightPx;
    const star = wanted(x, y);
    const e1 = (star.e1 ?? 0) + noise * normal(random);
    const e2 = (star.e2 ?? 0) + noise * normal(random);
    const fwhm = star.fwhm * (1 + noise * normal(random));
    const e = Math.min(0.95, Math.hypot(e1, e2));
    // Geometric mean of the axes is kept: mean square = fwhm^2 / sqrt(1 - e^2).
    const size = (0.2 * fwhm * fwhm) / Math.sqrt(1 - e * e);
    Object.entries({
      x,
      y,
      flux: 1e5,
      peak: 5e3,
      snr: 100,
      background: 500,
      fwhm,
      fwhmError: noise * star.fwhm,
      elongation: Math.sqrt((1 + e) / (1 - e)),
      angleDeg: ((Math.atan2(e2, e1) * 90) / Math.PI + 180) % 180,
      e1,
      e2,
      eError: noise,
      axis1: e1,
      axis2: e2,
      axisError: noise,
      beta: 4,
      hfd: 1.13 * fwhm,
      hfdError: noise * fwhm,
      mxx: size * (1 + e1),
      mxy: size * e2,
      myy: size * (1 - e1),
      mError: 2 * noise * size,
      skewX: (star.skewX ?? 0) + noise * normal(random),
      skewY: (star.skewY ?? 0) + noise * normal(random),
      skewError: noise,
    }).forEach(([name, value]) => (columns[name as (typeof names)[number]][i] = value));
    flags[i] = options.flag?.(i) ?? 0;
  }
  return { count, ...columns, flags, fwhmSharedError: 0, hfdSharedError: 0 };
}
