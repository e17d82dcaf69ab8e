import type { FrameAssessment } from '../../field/types.js';
import type { Measured, SweepAssessment } from '../sweep/index.js';

/** Frames taken at one spacing. */
export interface LadderRung {
  readonly spacingMm: number;
  readonly frames: readonly FrameAssessment[];
}

export interface LadderOptions {
  /** The reducer's own focal length, mm; null = not known. */
  readonly reducerFocalMm: number | null;
  /** Focal length of the telescope without it, mm; null = not known. */
  readonly bareFocalMm: number | null;
  /** Spacings at which the corners' sharpness is wanted, mm. */
  readonly predictAtMm: readonly number[];
}

/** What one rung says. */
export interface LadderPoint {
  readonly spacingMm: number;
  readonly frames: number;
  /** A sweep gives signed curvature; single frames only how much softer the corners are. */
  readonly evidence: 'sweep' | 'single-frames' | 'none';
  /** Medial surface at the corner, micrometres; null without a sweep. */
  readonly curvatureMicron: number | null;
  readonly curvatureErrorMicron: number | null;
  readonly astigmatismMicron: number | null;
  readonly tiltSpanMicron: number | null;
  /** Added blur of the corners against the centre, pixel^2 (moment); null without stars there. */
  readonly cornerExcessPx2: number | null;
  /** With the scatter of its frames, and what an unknown focus error adds. */
  readonly cornerExcessErrorPx2: number | null;
  readonly focalLengthMm: number | null;
  /** Distance from the line, micrometres (sweep). */
  readonly offLineMicron: number | null;
  readonly why: string | null;
}

/** The second witness: the image scale. */
export interface ScaleWitness {
  readonly source: 'wcs' | 'matched-stars';
  /** Change of focal length per mm of spacing, per cent. */
  readonly percentPerMm: Measured;
  /** How far the reducer stands from the focus of its own light at the best spacing, mm: f_r - d. */
  readonly remainderMm: Measured;
  /** Distance from the reducer's principal plane to the sensor at the best spacing, mm; null without f_r. */
  readonly distanceMm: Measured | null;
  /** Focal length over the bare telescope's at the best spacing; null without WCS or bare focal length. */
  readonly factor: number | null;
  /** The same distance from the factor, d = f_r (1 - R). */
  readonly distanceFromFactorMm: number | null;
  /** Rungs whose label does not go with the scale: spacing -> difference, mm. */
  readonly oddLabels: readonly { readonly spacingMm: number; readonly differenceMm: number }[];
  readonly verdict: 'agrees' | 'disagrees' | 'too-weak';
  readonly words: string;
}

/** A spacing ladder, assessed: the contract `starassay/ladder@1`. */
export interface LadderAssessment {
  readonly schema: 'starassay/ladder@1';
  readonly version: string;
  readonly bestSpacingMm: number | null;
  readonly uncertaintyMm: number | null;
  readonly evidence: 'sweeps' | 'single-frames' | 'none';
  /** True when the best spacing lies among the rungs, false when it is extrapolated; null without one. */
  readonly bracketed: boolean | null;
  /** Medial curvature at the corner per mm of added spacing. */
  readonly sensitivityMicronPerMm: number | null;
  readonly sensitivityErrorMicronPerMm: number | null;
  /** Slope of the tangential over that of the sagittal surface; third order: 3. */
  readonly surfaceRatio: Measured | null;
  /** Scatter about the line over what the sweeps' errors allow. */
  readonly lineChi: number | null;
  readonly points: readonly LadderPoint[];
  /** Corner stars at spacings, focus set for the centre: FWHM, pixels and arcsec, in the ladder's median seeing. */
  readonly predictions: readonly {
    readonly spacingMm: number;
    readonly cornerMicron: number;
    readonly cornerFwhmPx: number;
    readonly cornerFwhmArcsec: number | null;
    readonly centreFwhmPx: number;
  }[];
  /** The same at small steps from a mm below to a mm above the rungs, for drawing. */
  readonly cornerCurve: readonly { readonly spacingMm: number; readonly cornerFwhmPx: number }[];
  /** The line through the sweeps' curvatures: its height at `atMm` and its slope; null without one that rises or falls clearly. */
  readonly line: {
    readonly atMm: number;
    readonly curvatureMicron: number;
    readonly micronPerMm: number;
  } | null;
  readonly scale: ScaleWitness | null;
  readonly sweeps: readonly { readonly spacingMm: number; readonly sweep: SweepAssessment }[];
  readonly warnings: readonly string[];
  readonly advice: readonly string[];
}
