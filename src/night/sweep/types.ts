import type { ScrewTurn } from '../../optics/index.js';
import type { InwardCounts } from '../types.js';

/** What the user may say about a focus sweep; null = from the headers, or not known. */
export interface SweepOptions {
  /** Travel of the sensor per focuser step, micrometres. */
  readonly micronPerStep: number | null;
  /** Working focal ratio. */
  readonly focalRatio: number | null;
  /** Pitch of a stored pixel, micrometres. */
  readonly pixelPitchMicron: number | null;
  /** Text of a file name with `{step}` where the position stands. */
  readonly positionPattern: string | null;
  /** Counts that move the sensor inwards; null = not said, negative assumed. */
  readonly inward: InwardCounts | null;
  /** Inner over outer diameter of the pupil. */
  readonly obstruction: number;
  readonly wavelengthMicron: number;
  /** Medial curvature at the corner per mm of added spacing, micrometres, signed, from a ladder of this rig. */
  readonly sensitivityMicronPerMm: number | null;
  /** Diameter of the flange that a shim would lie on, mm. */
  readonly flangeMm: number | null;
  /** Tilt plate: distance of its screws from the centre and lift per turn, mm; directions of the screws, pixel frame. */
  readonly tiltPlate: {
    readonly radiusMm: number;
    readonly pitchMm: number;
    readonly screwDirectionsDeg: readonly number[];
  } | null;
}

/** A star (or the mean star of a field cell) of one frame. Tensor parts in pixel^2: iso (Mxx + Myy)/2, plus (Mxx - Myy)/2, cross Mxy. */
export interface SweepCell {
  /** Half-diagonals from the sensor's centre. */
  readonly u: number;
  readonly v: number;
  readonly r2: number;
  readonly iso: number;
  readonly plus: number;
  readonly cross: number;
  readonly isoError: number;
  readonly shearError: number;
  readonly stars: number;
  /** Root of the moments' determinant over FWHM^2: how winged the star is; NaN without a profile fit. */
  readonly momentOverFwhm2: number;
}

/** One frame of a sweep. */
export interface SweepFrame {
  readonly file: string;
  readonly positionStep: number;
  /** Place of the sensor, micrometres outwards, relative to the middle of the sweep; steps when the step size is not known yet. */
  readonly outward: number;
  readonly cells: readonly SweepCell[];
  readonly stars: number;
}

/** A sweep ready for the fit. */
export interface SweepData {
  readonly frames: readonly SweepFrame[];
  /** Frames left out before the fit, with the reason in words. */
  readonly leftOut: readonly { readonly file: string; readonly why: string }[];
  /** Position of the middle of the sweep, steps. */
  readonly middleStep: number;
  readonly micronPerStep: number | null;
  readonly micronPerStepSource: 'option' | 'header' | null;
  /** +1: larger counts move the sensor outwards; -1: inwards. */
  readonly outwardSign: 1 | -1;
  readonly signGiven: boolean;
  readonly focalRatio: number | null;
  readonly pixelPitchMicron: number | null;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly arcsecPerPx: number | null;
  readonly filter: string | null;
  readonly warnings: readonly string[];
}

/** Value with its standard error. */
export interface Measured {
  readonly value: number;
  readonly error: number;
}

/** Best focus of one part of the field; micrometres outwards relative to the sweep's middle, and the size against focus there. */
export interface SweepTile {
  readonly column: number;
  readonly row: number;
  /** Centre, half-diagonals from the sensor's centre. */
  readonly u: number;
  readonly v: number;
  readonly tangential: Measured;
  readonly sagittal: Measured;
  readonly stars: number;
  /** Sizes (FWHM-equivalent, pixels) brought to the sweep's mean seeing. */
  readonly points: readonly {
    readonly outwardMicron: number;
    readonly radialPx: number;
    readonly tangentialPx: number;
    readonly errorPx: number;
  }[];
  readonly curve: readonly {
    readonly outwardMicron: number;
    readonly radialPx: number;
    readonly tangentialPx: number;
  }[];
  /** Distance from the fitted surfaces, in its errors; large = this part of the field does not follow them. */
  readonly misfit: number;
}

/** A focus sweep, assessed: the contract `starassay/sweep@1`. Heights in micrometres, positive outwards (away from the optics). */
export interface SweepAssessment {
  readonly schema: 'starassay/sweep@1';
  readonly version: string;
  readonly tilt: {
    /** Towards the side where best focus lies farther out. */
    readonly directionDeg: number;
    readonly directionErrorDeg: number;
    /** Highest minus lowest corner of the plane. */
    readonly spanMicron: number;
    readonly spanErrorMicron: number;
    readonly angleArcmin: number;
    readonly angleErrorArcmin: number;
    readonly significant: boolean;
  };
  /** Medial surface at the corner relative to the centre. */
  readonly curvature: {
    readonly cornerMicron: number;
    readonly errorMicron: number;
    readonly significant: boolean;
  };
  /** (tangential - sagittal)/2 at the corner. */
  readonly astigmatism: {
    readonly cornerMicron: number;
    readonly errorMicron: number;
    readonly significant: boolean;
  };
  readonly bestFocus: {
    readonly centreStep: number;
    readonly centreErrorStep: number;
    /** The centre's best focus relative to the middle of the sweep, outwards. */
    readonly centreMicron: number;
    /** The position that keeps the mean square defocus over the field smallest. */
    readonly fieldStep: number;
    readonly bracketed: 'yes' | 'centre-only' | 'no';
  };
  /** Where the surfaces are symmetric about, half-diagonals from the sensor's centre; null when it cannot be told. */
  readonly centreOfSymmetry: {
    readonly u: number;
    readonly v: number;
    readonly error: number;
  } | null;
  readonly corners: readonly {
    readonly name: 'top-left' | 'top-right' | 'bottom-left' | 'bottom-right';
    /** Medial best focus relative to the centre. */
    readonly medialMicron: number;
    readonly tangentialMicron: number;
    readonly sagittalMicron: number;
  }[];
  /** The fitted surfaces, micrometres: tilt per half-diagonal along x and y, curvatures at the corner. */
  readonly surface: {
    readonly tiltX: number;
    readonly tiltY: number;
    readonly tangential: number;
    readonly sagittal: number;
  };
  /** What undoes the tilt: a shim at this side of the flange (null without its diameter), turns of the screws (null without a plate). */
  readonly shim: {
    readonly flangeMm: number;
    readonly thicknessMicron: number;
    readonly directionDeg: number;
  } | null;
  readonly screws: readonly ScrewTurn[] | null;
  readonly focusZone: {
    readonly totalMicron: number;
    readonly focalRatio: number;
    readonly wavelengthMicron: number;
  } | null;
  readonly scale: {
    readonly micronPerStep: number;
    readonly micronPerStepSource: 'option' | 'header' | 'defocus';
    readonly focalRatio: number | null;
    /** Focal ratio that the growth of the stars with defocus implies, given the step size. */
    readonly impliedFocalRatio: number | null;
    readonly impliedFocalRatioError: number | null;
    readonly larger: 'outwards' | 'inwards';
    readonly signGiven: boolean;
  };
  readonly seeing: {
    readonly medianPx: number;
    readonly medianArcsec: number | null;
    readonly spreadPercent: number;
    /** Adaptive moment over FWHM^2 of the stars in focus: 0.180 Gaussian, 0.200 Kolmogorov, 0.230 Moffat with beta 3. */
    readonly momentOverFwhm2: number;
    /** Exponent of the transfer function that goes with it. */
    readonly exponent: number;
  };
  readonly spacing: SpacingVerdict;
  readonly flat: boolean | null;
  readonly frames: readonly {
    readonly file: string;
    readonly positionStep: number;
    readonly outwardMicron: number;
    readonly seeingPx: number;
    readonly cells: number;
    readonly stars: number;
    /** Typical residual in errors. */
    readonly misfit: number;
    readonly outlier: string | null;
  }[];
  readonly leftOut: readonly { readonly file: string; readonly why: string }[];
  readonly tiles: readonly SweepTile[];
  readonly fit: {
    readonly cells: number;
    readonly reducedChiSquare: number;
    readonly explainedVariance: number;
  };
  readonly image: { readonly widthPx: number; readonly heightPx: number; readonly diagonalMm: number };
  readonly warnings: readonly string[];
  readonly advice: readonly string[];
}

/** What the sweep says about the spacing, with the reasoning in words. */
export interface SpacingVerdict {
  readonly verdict: 'right' | 'short' | 'long' | 'cannot-tell';
  /** Sensor too far (+) or too close (-), mm; null without the rig's sensitivity. */
  readonly errorMm: number | null;
  readonly errorMmError: number | null;
  readonly confidence: number;
  readonly reasoning: readonly string[];
}
