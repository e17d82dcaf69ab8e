/** Grey value, 0..1, at which the sky is shown: dark enough for the eye to read it as night, light enough to see cloud and gradient. */
const SKY_GREY = 0.16;
/** Noise widths below the sky that are shown as black. */
const BLACK_SIGMA = 2.8;
/** Part of the pixels that may be burnt out to white. */
const WHITE_PART = 0.0006;
/** White lies at least this many noise widths above the sky, so that an empty frame is not shown as a snowstorm. */
const MIN_RANGE_SIGMA = 14;
const SAMPLE_LENGTH = 20_000;
const MIN_BEND = 1;
const MAX_BEND = 20_000;

/** An asinh stretch: shown = asinh(bend t) / asinh(bend), t = (value - black) / (white - black) clipped to 0..1. */
export interface Stretch {
  readonly black: number;
  readonly white: number;
  /** How strongly faint light is lifted; 1 is nearly linear. */
  readonly bend: number;
}

/**
 * Choose the stretch of a small picture from its own pixels: black a little under the sky, white at the brightest 0.06 %,
 * the bend such that the sky is shown at one grey whatever the exposure (asinh after Lupton et al. 2004, PASP 116, 133).
 *
 * `values`: any order, same unit throughout; non-finite ones are left out. Nothing finite, or all equal: a harmless unit stretch.
 */
export function chooseStretch(values: Float32Array): Stretch {
  const finite = sortedSample(values);
  if (finite.length === 0) return { black: 0, white: 1, bend: MIN_BEND };
  const at = (part: number) => finite[Math.min(finite.length - 1, Math.floor(part * finite.length))]!;
  const sky = at(0.5);
  // The lower half only: stars and nebulae sit above the sky, never below. 0.6745 sigma = quartile of a Gaussian.
  const sigma = Math.max((sky - at(0.25)) / 0.6745, Math.abs(sky) * 1e-6, Number.MIN_VALUE);
  const black = sky - BLACK_SIGMA * sigma;
  const white = Math.max(at(1 - WHITE_PART), sky + MIN_RANGE_SIGMA * sigma);
  return { black, white, bend: bendFor((sky - black) / (white - black)) };
}

/** Finite values in rising order, thinned evenly to about 20,000: enough for any percentile a picture needs. */
export function sortedSample(values: Float32Array): Float32Array {
  const step = Math.max(1, Math.floor(values.length / SAMPLE_LENGTH));
  const sample = new Float32Array(Math.ceil(values.length / step));
  let n = 0;
  for (let i = 0; i < values.length; i += step) if (Number.isFinite(values[i]!)) sample[n++] = values[i]!;
  return sample.subarray(0, n).sort();
}

/** Solve asinh(bend t) / asinh(bend) = SKY_GREY by bisection in log(bend); it grows with bend. */
function bendFor(t: number): number {
  let low = Math.log(MIN_BEND);
  let high = Math.log(MAX_BEND);
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    const bend = Math.exp(middle);
    if (Math.asinh(bend * t) / Math.asinh(bend) < SKY_GREY) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** asinh(a) by the leading bits of 1 + a as a 32-bit float: 128 entries each time it doubles, up to the largest bend. */
const BITS_BELOW = 16;
const FIRST_ENTRY = 127 << (23 - BITS_BELOW);
const float = new Float32Array(1);
const bits = new Uint32Array(float.buffer);
const asinhTable = Float64Array.from({ length: 16 << (23 - BITS_BELOW) }, (_, entry) => {
  bits[0] = (FIRST_ENTRY + entry) << BITS_BELOW;
  return Math.asinh(float[0]! - 1);
});

/** The stretch as a function from a value to its shown brightness, 0..1, to a hundredth of a grey level; NaN is shown black. */
export function stretcher({ black, white, bend }: Stretch): (value: number) => number {
  const perUnit = 1 / (white - black);
  const top = 1 / Math.asinh(bend);
  return (value) => {
    const t = (value - black) * perUnit;
    if (!(t > 0)) return 0;
    if (t >= 1) return 1;
    // Straight lines between the entries: a preview has 150,000 pixels, and a logarithm for each takes longer than its encoding.
    float[0] = 1 + bend * t;
    const entry = (bits[0]! >>> BITS_BELOW) - FIRST_ENTRY;
    const low = asinhTable[entry]!;
    const part = (bits[0]! & ((1 << BITS_BELOW) - 1)) / (1 << BITS_BELOW);
    return (low + (asinhTable[entry + 1]! - low) * part) * top;
  };
}
