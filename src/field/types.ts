import type { FrameHeader } from '../fits/types.js';
import type { Streak } from '../image/types.js';
import type { PlateScale, SkyOrientation } from '../optics/types.js';
import type { ErrorRecord } from '../errors.js';
import type { StarAtlas } from './mean-stars.js';

/** Mean star of one cell of the sensor, from its good stars; pixel^2 tensors of the adaptive moments. */
export interface FieldCell {
  readonly column: number;
  readonly row: number;
  /** Mean position of the cell's stars, weighted as their moments, FITS pixels. */
  readonly x: number;
  readonly y: number;
  /** Mean square distance of those stars from it, weighted alike, pixel^2: what a curved pattern adds within the cell. */
  readonly spreadPx2?: number;
  readonly stars: number;
  readonly fwhmPx: number;
  readonly fwhmErrorPx: number;
  readonly elongation: number;
  readonly angleDeg: number;
  /** Mean shape tensor (adaptive moments), pixel^2, with the standard error of the mean of each component. */
  readonly mxx: number;
  readonly mxy: number;
  readonly myy: number;
  readonly mError: number;
  /** Mean coma-like asymmetry, dimensionless (see `StarTable.skewX`). */
  readonly skewX: number;
  readonly skewY: number;
  readonly skewError: number;
}

export type CornerName = 'top-left' | 'top-right' | 'bottom-left' | 'bottom-right';

/** Stars of one corner region (top = large y). */
export interface CornerFigure {
  readonly name: CornerName;
  readonly fwhm: number | null;
  readonly elongation: number | null;
  readonly angleDeg: number | null;
  /** Radial (+) or tangential (-) elongation: (M_rr - M_tt) / (M_rr + M_tt). */
  readonly radial: number | null;
  readonly stars: number;
}

/** Plane through FWHM over the sensor. */
export interface TiltFigure {
  /** Towards the side where stars grow softer fastest, degrees in [0, 360). */
  readonly directionDeg: number;
  /** Highest minus lowest corner of the fitted plane, per cent of the median FWHM. */
  readonly fwhmSpanPercent: number;
  readonly fwhmSpanErrorPercent: number;
}

/** The pattern of star shapes over the sensor of one frame. */
export interface FieldPattern {
  readonly columns: number;
  readonly rows: number;
  /** Only cells with at least one good star. */
  readonly cells: readonly FieldCell[];
  readonly tilt: TiltFigure | null;
  /** FWHM at the corners (r = 1) minus centre of the fitted radial term, per cent of the median. */
  readonly curvaturePercent: number | null;
  readonly curvatureErrorPercent: number | null;
  /** Mean radial (+) or tangential (-) elongation of the outer field, (M_rr - M_tt) / (M_rr + M_tt). */
  readonly radial: number | null;
  readonly radialError: number | null;
  readonly corners: readonly CornerFigure[];
}

/** A figure in pixels and, when the plate scale is known, arcseconds. */
export interface SizeFigure {
  readonly px: number | null;
  readonly arcsec: number | null;
  /** Standard error of the frame figure, in pixels. */
  readonly standardError: number | null;
}

/** Common elongation of the stars over the whole field. */
export interface TrailFigure {
  /** Axis of the common elongation, degrees in [0, 180); null when there is none. */
  readonly angleDeg: number | null;
  /** Length of the mean ellipticity vector over the mean length: 0 random axes, 1 all the same axis. */
  readonly coherence: number | null;
  /** Length of the mean ellipticity vector over the standard error of its components; without a trail a chi of two degrees of freedom. */
  readonly significance: number | null;
  /** Position angle on the sky (north through east), [0, 180); null without a WCS. */
  readonly skyAngleDeg: number | null;
  readonly axis: 'ra' | 'dec' | null;
}

/** Brightest good stars, for registration and transparency: x, y (FITS px), flux (ADU), interleaved, brightest first. */
export type RegistrationStars = readonly number[];

/** Shape of one star, for fits over many frames: FITS pixels, adaptive moments in pixel^2. */
export interface StarShape {
  readonly x: number;
  readonly y: number;
  readonly mxx: number;
  readonly mxy: number;
  readonly myy: number;
  /** Standard error of (mxx + myy)/2. */
  readonly mError: number;
  /** FWHM of the profile fit, pixels; NaN where it failed. */
  readonly fwhm: number;
}

/** Pictures made while the pixels were at hand; encoded images. */
export interface FramePictures {
  /** Stretched preview, WebP. */
  readonly preview: Uint8Array | null;
  /** Star atlas of the field (mean star per cell), PNG. */
  readonly atlas: Uint8Array | null;
  /** The mean stars behind the atlas; only where they were asked for (pictures: 'corners'). */
  readonly meanStars?: StarAtlas;
}

/** Everything learnt from one frame by itself: plain data, made in a worker thread. */
export interface FrameAssessment {
  /** Path relative to the folder the user named; `path` is absolute. */
  readonly file: string;
  readonly path: string;
  readonly fileBytes: number;
  readonly header: FrameHeader;
  readonly image: {
    readonly widthPx: number;
    readonly heightPx: number;
    readonly mosaic: string | null;
    readonly hdu: number;
    /** Columns and rows of overscan before the first pixel measured, from which positions count; absent when all of the image is. */
    readonly origin?: { readonly x: number; readonly y: number };
  };
  readonly scale: PlateScale | null;
  readonly orientation: SkyOrientation | null;
  readonly stars: {
    readonly detected: number;
    readonly measured: number;
    readonly saturated: number;
    readonly hotPixels: number;
    readonly cosmicRays: number;
  };
  readonly fwhm: SizeFigure;
  readonly hfd: SizeFigure;
  readonly elongation: number | null;
  readonly elongationError: number | null;
  readonly beta: number | null;
  readonly trail: TrailFigure;
  readonly background: {
    readonly level: number | null;
    readonly noise: number | null;
    readonly gradientPercent: number | null;
    readonly gradientDirectionDeg: number | null;
  };
  /** Flux (ADU) of a star at signal to noise 5 in this frame: depth. */
  readonly limitingFlux: number | null;
  readonly field: FieldPattern;
  readonly streaks: readonly Streak[];
  readonly registrationStars: RegistrationStars;
  /** Single stars spread over the field; only where they were asked for (`FrameOptions.starShapes`). */
  readonly starShapes?: readonly StarShape[];
  readonly pictures: FramePictures;
  readonly warnings: readonly string[];
  /** Dotted name of a figure that is null -> why it could not be measured. */
  readonly unmeasured: Readonly<Record<string, string>>;
  readonly elapsedMs: number;
}

/** A file that gave no assessment. */
export interface UnreadableFrame {
  readonly file: string;
  readonly error: ErrorRecord;
}
