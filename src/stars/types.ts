/** Bits of `StarTable.flags`; a star without any bit is good for frame figures. */
export const StarFlag = {
  /** A pixel at or above the clipping level. */
  Saturated: 1,
  /** A neighbour contributes to the measurement. */
  Blended: 2,
  /** The measuring window leaves the image. */
  Edge: 4,
  /** Blank (NaN, BLANK) or defective pixels inside the window. */
  BadPixels: 8,
  /** Sharper than the frame's star image: hot pixel or cosmic ray. */
  TooSharp: 16,
  /** Much larger than the frame's star image: galaxy, nebula knot, close pair. */
  Extended: 32,
  /** The profile fit did not converge; its figures are NaN. */
  FitFailed: 64,
  /** Moments did not converge; their figures are NaN. */
  MomentsFailed: 128,
  /** Signal to noise under the limit for shape figures. */
  Faint: 256,
} as const;

/**
 * Stars of one frame, one column a figure (structure of arrays, all of length `count`), brightest first.
 * Pixel coordinates follow FITS: first pixel stored is (1, 1). Angles: degrees counter-clockwise from +x, in [0, 180).
 * Unmeasurable figures are NaN, with a bit in `flags`.
 */
export interface StarTable {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Background-subtracted total flux, ADU. */
  readonly flux: Float64Array;
  /** Peak above background, ADU. */
  readonly peak: Float64Array;
  readonly snr: Float64Array;
  /** Local background, ADU. */
  readonly background: Float64Array;
  /** Geometric mean of the two axes' FWHM of the elliptical Moffat fit, pixels; and its standard error. */
  readonly fwhm: Float64Array;
  readonly fwhmError: Float64Array;
  /** Standard error that the widths of all stars have in common, as a part of them (exponent and correction of the profile); not in `fwhmError`. */
  readonly fwhmSharedError: number;
  /** Major over minor axis of the fit, >= 1; noise bias removed. */
  readonly elongation: Float64Array;
  /** Axis angle of the major axis. */
  readonly angleDeg: Float64Array;
  /** Shape tensor of the fit as dimensionless ellipticity components: e1 = (a^2 - b^2)/(a^2 + b^2) cos 2 theta, e2 likewise with sin. */
  readonly e1: Float64Array;
  readonly e2: Float64Array;
  /** Standard error of each of e1, e2. */
  readonly eError: Float64Array;
  /**
   * The same components as whatever knows them best has them, for the axis that stars have in common, and the standard error of each: of bright stars with pixels weighted by their noise,
   * which lets the wings say more than in the fit; of the others e1, e2 and eError.
   */
  readonly axis1: Float64Array;
  readonly axis2: Float64Array;
  readonly axisError: Float64Array;
  /** Moffat exponent used. */
  readonly beta: Float64Array;
  /** Half-flux diameter, pixels; and its standard error. */
  readonly hfd: Float64Array;
  readonly hfdError: Float64Array;
  /** Standard error that the half-flux diameters of all stars have in common, as a part of them (light of the wings, mean profile); not in `hfdError`. */
  readonly hfdSharedError: number;
  /** Adaptive (Gaussian-weighted) second moments of the image, pixel^2. */
  readonly mxx: Float64Array;
  readonly mxy: Float64Array;
  readonly myy: Float64Array;
  /** Standard error of (mxx + myy)/2, pixel^2. */
  readonly mError: Float64Array;
  /** Spin-1 third moment (coma-like asymmetry) along x and y, normalised by sigma^3: dimensionless; and its standard error. */
  readonly skewX: Float64Array;
  readonly skewY: Float64Array;
  readonly skewError: Float64Array;
  readonly flags: Uint16Array;
}

/** A figure with its error and the count behind it; `value` is null when it could not be measured. */
export interface Figure {
  readonly value: number | null;
  readonly standardError: number | null;
  readonly count: number;
}
