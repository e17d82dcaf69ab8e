import type { FrameAssessment } from '../field/types.js';
import type { TiltWithAltitude } from './tilt-with-altitude.js';

/** How the stars of a frame map on the group's reference frame: X = scale * R(rotation) * x + offset (FITS pixels). */
export interface Registration {
  readonly matched: number;
  readonly dxPx: number;
  readonly dyPx: number;
  readonly rotationDeg: number;
  readonly scale: number;
  /** 180-degree turn against the reference: a meridian flip. */
  readonly flipped: boolean;
  readonly rmsPx: number;
}

export interface DecisionReason {
  readonly code:
    | 'fwhm'
    | 'hfd'
    | 'elongation'
    | 'transparency'
    | 'weight'
    | 'too-few-stars'
    | 'background'
    | 'keep-best'
    | 'overruled';
  readonly message: string;
  readonly value: number | null;
  readonly limit: number | null;
}

/** What makes up the width of a frame's stars, arcsec FWHM-equivalent each (pixels when the scale is unknown); null: cannot tell. */
export interface BlurBudget {
  readonly unit: 'arcsec' | 'px';
  readonly seeing: number | null;
  readonly focus: number | null;
  readonly tilt: number | null;
  readonly curvature: number | null;
  readonly coma: number | null;
  readonly tracking: number | null;
  /** Seeing and focus together, where the frame does not tell them apart; absent where it does. */
  readonly seeingOrFocus?: number;
}

/** A frame with what the rest of the night says about it. */
export interface JudgedFrame extends FrameAssessment {
  readonly group: string;
  readonly registration: Registration | null;
  /** Relative to the group's best frames, per second of exposure; null when it could not be matched. */
  readonly transparency: number | null;
  /** Weight in a stack relative to the group's best frame: (T / (noise * FWHM))^2. */
  readonly weight: number | null;
  readonly blur: BlurBudget | null;
  readonly decision: 'keep' | 'reject';
  readonly reasons: readonly DecisionReason[];
  readonly causes: readonly { readonly code: string; readonly confidence: number }[];
}

export interface GroupSummary {
  readonly name: string;
  readonly frames: number;
  readonly kept: number;
  /** The reference: median of the group's better half. */
  readonly reference: {
    readonly fwhmPx: number | null;
    readonly fwhmArcsec: number | null;
    readonly elongation: number | null;
    readonly level: number | null;
    readonly noise: number | null;
  };
}

/** Shared optical state of one camera set-up over the night, from the joint fit; micrometres when the focal ratio and pixel pitch are known. */
export interface OpticalState {
  readonly frames: number;
  /** Part of the variance of size and shape over the field that the model explains, 0..1. */
  readonly explainedVariance: number;
  readonly unit: 'micron' | 'px-blur';
  /** Towards the side where best focus lies farther out. */
  readonly tilt: {
    readonly directionDeg: number;
    readonly span: number;
    readonly spanError: number;
    readonly angleArcmin: number | null;
  } | null;
  /** Medial image surface at the corner relative to the centre. */
  readonly curvature: { readonly corner: number; readonly error: number } | null;
  /** (tangential - sagittal)/2 at the corner. */
  readonly astigmatism: { readonly corner: number; readonly error: number } | null;
  /** Where the coma vanishes, FITS pixels; length of its flare at a half-diagonal from there, pixels. Null: the fit does not need it. */
  readonly coma: {
    readonly centreX: number;
    readonly centreY: number;
    readonly strength: number;
    readonly error: number;
  } | null;
  /** True when frames at different focus fixed the signs. */
  readonly signsKnown: boolean;
  readonly focus: readonly { readonly file: string; readonly offset: number; readonly error: number }[];
  /** What the causes judge by. */
  readonly detail: OpticalDetail;
}

/** Focuser counts that move the sensor inwards: the larger ones (`positive`) or the smaller ones (`negative`). */
export type InwardCounts = 'positive' | 'negative';

/** How sure each part of the fit is and what it does to the stars; significances in standard errors. */
export interface OpticalDetail {
  /** Focus error in micrometres of a blur disc of one pixel (focal ratio times pixel pitch); null when unknown. */
  readonly micronPerDiscPx: number | null;
  /** What the signs rest on: a moved focuser (its sense assumed, or said by the user), a cooling tube, or nothing. */
  readonly signSource: 'focuser' | 'focuser-said' | 'cooling' | 'none';
  /** Mean blur over the sensor, pixels FWHM-equivalent, and how much worse the fit is without it. */
  readonly tilt: {
    readonly blurPx: number;
    readonly significance: number;
    readonly directionErrorDeg: number;
  };
  /** Whether the tilt keeps to the sensor or turns over with the side of the pier. */
  readonly tiltFollows: { readonly what: 'sensor' | 'gravity' | 'unknown'; readonly significance: number };
  /** The tilt of the low half of the frames against the high half; absent or null without a tilt or without enough range. */
  readonly tiltWithAltitude?: TiltWithAltitude | null;
  readonly curvature: {
    readonly blurPx: number;
    readonly significance: number;
    /** Medial curvature and astigmatism at the corner, blur disc in pixels, with errors and correlation. */
    readonly medialPx: number;
    readonly medialErrorPx: number;
    readonly astigmatismPx: number;
    readonly astigmatismErrorPx: number;
    readonly correlation: number;
  };
  readonly rotation: {
    /** Length of the trail at the corner in the longest exposure, pixels. */
    readonly cornerTrailPx: number;
    readonly significance: number;
    /** Centre of the turn, half-diagonals from the sensor's centre. */
    readonly centre: readonly [u: number, v: number];
  };
  /** Third-order coma; null when the fit does not need it. */
  readonly coma: {
    readonly significance: number;
    /** Length of the flare in the middle of the sensor and at a half-diagonal from the coma's own centre, pixels. */
    readonly middleFlarePx: number;
    readonly cornerFlarePx: number;
    /** Its centre, half-diagonals from the sensor's; null when it lies far outside (a flare that is alike all over the field). */
    readonly centre: readonly [u: number, v: number] | null;
    /** Agreement of the stars' third moments with it, in standard errors; null without third moments. */
    readonly flares: number | null;
  } | null;
  /** Each frame's own part of the fit. */
  readonly frames: readonly FittedFrame[];
  /** Scatter of the cells about the model in units of their errors. */
  readonly scatter: number;
}

/** What the joint fit found for one frame by itself. */
export interface FittedFrame {
  readonly file: string;
  /** FWHM of the seeing (pixel taken out), pixels. */
  readonly seeingPx: number;
  /** Focus error of the mean field, blur disc in pixels, sign as in `OpticalState.focus`; and its standard error. */
  readonly focusPx: number;
  readonly focusErrorPx: number;
  /** The same in the middle of the sensor; differs by the field's curvature. */
  readonly middleFocusPx: number;
  /** Tracking: half differences of its variances, pixel^2 (xx - yy)/2 and xy, and the error of each. */
  readonly trailPlus: number;
  readonly trailCross: number;
  readonly trailError: number;
}

export interface WhatIfPoint {
  readonly kept: number;
  readonly fwhm: number;
  /** Signal to noise of the stack relative to stacking every frame, point sources. */
  readonly depth: number;
}

/** The limits a decision was made with. */
export interface DecisionLimits {
  /** FWHM limit as a multiple of the group's reference; null = off. */
  readonly fwhmFactor: number | null;
  /** Absolute FWHM limit, arcsec; null = off. */
  readonly fwhmArcsec: number | null;
  readonly elongation: number | null;
  readonly transparency: number | null;
  readonly weight: number | null;
  readonly minStars: number;
  /** Keep only this best part of each group by weight, 0..1; null = off. */
  readonly keepBest: number | null;
}
