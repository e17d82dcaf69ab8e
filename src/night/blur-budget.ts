import { MOMENT_PER_FWHM2, PIXEL_VARIANCE } from './blur-response.js';
import type { FieldMeans, FrameParameters, SharedParameters } from './joint-fit-model.js';
import type { BlurBudget } from './types.js';

/** FWHM over sigma of a Gaussian: turns a variance into a width that can be compared with the seeing. */
export const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);

/** Errors of what is fitted, in the fit's units (blur disc in pixels at the corner; focus of this frame). */
export interface FitErrors {
  readonly tilt: number;
  readonly medial: number;
  readonly astigmatism: number;
  readonly focus: number;
}

/**
 * Split a frame's blur into its sources, FWHM-equivalents averaged over the sensor: the mean over the field of
 * z_t^2 and z_s^2 falls apart exactly into best mean focus, tilt, and curvature with astigmatism. What noise alone would give is
 * taken out in squares. Focus is null when its error leaves it open whether it is a small or a large part (see `toldApart`): then seeing is
 * null too, and `seeingOrFocus` holds both together.
 *
 * @param arcsecPerPx plate scale, or null: then everything is in pixels.
 */
export function blurBudget(
  shared: SharedParameters,
  own: FrameParameters,
  side: 1 | -1,
  means: FieldMeans,
  errors: FitErrors,
  arcsecPerPx: number | null,
): BlurBudget {
  const scale = arcsecPerPx ?? 1;
  const width = (variance: number): number => FWHM_PER_SIGMA * Math.sqrt(Math.max(0, variance)) * scale;
  const tx = shared.tx + side * shared.gx;
  const ty = shared.ty + side * shared.gy;
  const mean2 = (means.u2 + means.v2) / 2;
  const tilt = (tx * tx * means.u2 + ty * ty * means.v2 - 2 * errors.tilt ** 2 * mean2) / 16;
  const bowl = means.r4 - means.r2 * means.r2;
  const curvature =
    ((shared.km ** 2 - errors.medial ** 2) * bowl + (shared.ka ** 2 - errors.astigmatism ** 2) * means.r4) /
    16;
  // A third of the squared coefficient on average of the two axes.
  const coma = (shared.comaG ** 2 * means.r2 + shared.comaX ** 2 + shared.comaY ** 2) / 3;
  const centre = own.focus + shared.km * means.r2;
  const focus = (centre * centre - Math.min(errors.focus ** 2, centre * centre)) / 16;
  const seeing = Math.sqrt(Math.max(0.04 * own.seeing, own.seeing - PIXEL_VARIANCE) / MOMENT_PER_FWHM2);
  const known = toldApart(Math.abs(centre), errors.focus, seeing);
  // Half the trail's variance, as the geometric mean of a long and a short axis sees it.
  const tracking = Math.hypot(own.plus, own.cross);
  return {
    unit: arcsecPerPx === null ? 'px' : 'arcsec',
    seeing: known ? seeing * scale : null,
    focus: known ? width(focus) : null,
    tilt: width(tilt),
    curvature: width(curvature),
    coma: width(coma),
    tracking: width(tracking),
    ...(known ? {} : { seeingOrFocus: Math.hypot(seeing * scale, width(focus)) }),
  };
}

/** A focus error this many of its own errors large is known to be there. */
const SURE = 4;

/**
 * Is the focus known well enough to part its blur from the seeing's? Yes when it is surely there, or when even two errors more would be
 * less than half the seeing; never when the error alone makes up half the seeing. Blur disc, its error and seeing in pixels.
 */
function toldApart(discPx: number, errorPx: number, seeingPx: number): boolean {
  // The width of a disc: |z|/4 as a sigma.
  const width = (disc: number): number => (FWHM_PER_SIGMA * disc) / 4;
  if (width(errorPx) >= 0.5 * seeingPx) return false;
  return discPx > SURE * errorPx || width(discPx + 2 * errorPx) < 0.5 * seeingPx;
}
