/**
 * How the adaptive (Gaussian-weighted) second moments of a star answer to added blur.
 *
 * Plain second moments add under convolution, but those of a seeing disc are infinite (its wings fall as r^(-11/3)), and
 * Gaussian-weighted ones do not add. So the answer was computed: Kolmogorov transfer function exp(-3.44 (f/r0)^(5/3))
 * (Fried 1966) times the transfer functions of uniform and annular elliptical discs (geometric defocus and astigmatism),
 * inverse Fourier transform on 512 x 512 points with 16 points across the FWHM, adaptive moments iterated to 1e-6.
 * In units of the undisturbed star's moment V, with Q = added variance / V (mean of the two axes) and d = half the
 * difference of the two axes:
 *   mean of the axes   M_iso  = V R(Q),   R = 1 + Q (1.205 + 0.39 Q/(Q + 1.1))      within 1 % for Q <= 2
 *   half difference    M_diff = d B(Q),   B = 1.09 + 0.47 Q/(Q + 0.95)              within 3 % of the open pupil's for Q <= 2
 * R lies between the values for an open pupil and for one with 35 % central obstruction (1 to 4 % apart).
 * A uniform trail follows the same curves within 2 %.
 */
export interface Response {
  readonly value: number;
  /** Derivative with respect to Q. */
  readonly slope: number;
}

/** Adaptive moment per (FWHM of the seeing)^2 of a Kolmogorov star, computed as above: 0.2000. */
export const MOMENT_PER_FWHM2 = 0.2;

/** Variance of one pixel's square response, pixel^2. */
export const PIXEL_VARIANCE = 1 / 12;

/** Mean of the two axes' adaptive moments over the undisturbed one, for added variance Q >= 0 in its units. */
export function isotropicResponse(added: number): Response {
  const share = added / (added + 1.1);
  return {
    value: 1 + added * (1.205 + 0.39 * share),
    slope: 1.205 + 0.39 * share * (2 - share),
  };
}

/** Half difference of the two axes' adaptive moments over that of the added variance, at mean added variance Q >= 0. */
export function shearResponse(added: number): Response {
  const sum = added + 0.95;
  return { value: 1.09 + (0.47 * added) / sum, slope: (0.47 * 0.95) / (sum * sum) };
}

/**
 * Part of a third-order coma's variance that the adaptive moments feel, for a coma of mean variance Q (in units of V): its light
 * is gathered near the tip, so the part falls from 1 to 0.66 at Q = 1.7 (computed as above with 200,000 rays; within 2 %).
 */
export function comaShare(added: number): number {
  return 1 / (1 + 0.31 * added);
}

/**
 * Normalised third moment of a star with third-order coma of coefficient C, per unit of C/sigma, sigma the root of its own (blurred)
 * adaptive moment: 0.07 x^3 at x = C/sigma (computed as above; within 10 % from x = 0.6 to 1.4, where it can be measured).
 * `slope` is the derivative of the value per unit over x.
 */
export function comaSkewness(x: number): { readonly perUnit: number; readonly slope: number } {
  return { perUnit: 0.07 * x * x, slope: 0.14 };
}

/**
 * Half-flux diameter over FWHM of a Moffat fit, relative to the undisturbed star, against Q: a disc has no wings, so the ratio falls
 * with defocus while a change of seeing leaves it alone. Computed as above (Hankel transforms), mean of open and obstructed pupil.
 */
const WIDTH_RATIO: readonly (readonly [added: number, ratio: number])[] = [
  [0, 1],
  [0.1, 0.9835],
  [0.2, 0.967],
  [0.3, 0.948],
  [0.4, 0.925],
  [0.5, 0.903],
  [0.75, 0.858],
  [1, 0.825],
  [1.5, 0.786],
  [2, 0.77],
  [5, 0.73],
];

/** Ratio of an undisturbed Kolmogorov star (light within four half-flux diameters, flat-weighted Moffat fit). */
const KOLMOGOROV_RATIO = 1.142;

/**
 * How far the shape of the stars can witness defocus, 1 for Kolmogorov stars: a seeing profile without wings (ratio 1, a Gaussian)
 * has little to lose, its ratio falls 0.25 to 0.5 as far (computed as above).
 *
 * @param baseRatio half-flux diameter over FWHM of the sharp stars of the night
 */
export function shapeWitness(baseRatio: number): number {
  const winged = (baseRatio - 1) / (KOLMOGOROV_RATIO - 1);
  return 0.35 + 0.65 * Math.max(0, Math.min(1.2, winged));
}

/**
 * The ratio of half-flux diameter to FWHM, relative to that of pure seeing, at mean added variance Q >= 0; flat beyond Q = 5.
 *
 * @param witness how far the seeing profile lets it fall (see `shapeWitness`)
 */
export function widthRatio(added: number, witness = 1): Response {
  let k = 1;
  while (k < WIDTH_RATIO.length && added > WIDTH_RATIO[k][0]) k++;
  if (k === WIDTH_RATIO.length) return { value: 1 - witness * (1 - WIDTH_RATIO[k - 1][1]), slope: 0 };
  const [low, high] = [WIDTH_RATIO[k - 1], WIDTH_RATIO[k]];
  const slope = (high[1] - low[1]) / (high[0] - low[0]);
  return { value: 1 - witness * (1 - low[1] - slope * (added - low[0])), slope: witness * slope };
}
