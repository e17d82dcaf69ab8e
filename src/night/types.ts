import type { FrameAssessment } from '../field/types.js';

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
  readonly coma: {
    readonly centreX: number;
    readonly centreY: number;
    readonly strength: number;
    readonly error: number;
  } | null;
  /** True when frames at different focus fixed the signs. */
  readonly signsKnown: boolean;
  readonly focus: readonly { readonly file: string; readonly offset: number; readonly error: number }[];
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
