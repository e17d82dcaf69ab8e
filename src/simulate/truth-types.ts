import type { SkyLight } from './sky-light.js';
import type { StarFigures } from './star-figures.js';
import type { PlantedStreak } from './streaks.js';

/** A planted trouble of one frame, under the diagnosis' own name. */
export interface PlantedCause {
  readonly code: string;
  /** Strength of the fault in this frame, 0..1. */
  readonly strength: number;
}

/** What an ideal measurement of one frame would say. */
export interface FrameTruth {
  readonly file: string;
  readonly dateObs: string;
  readonly filter: string;
  readonly exposureSeconds: number;
  readonly airmass: number;
  readonly pierSide: 'east' | 'west';
  readonly fwhm: { readonly px: number; readonly arcsec: number };
  readonly hfd: { readonly px: number; readonly arcsec: number };
  /** Median over the field; axis of the mean star shape, degrees in [0, 180). */
  readonly elongation: number;
  readonly axisDeg: number;
  /** True star at a 5 x 5 grid of places, FITS pixels. */
  readonly stars: readonly StarFigures[];
  readonly background: {
    /** Median, ADU, pedestal included; noise of one pixel there, ADU. */
    readonly level: number;
    readonly noise: number;
    /** Highest minus lowest corner of the plane in the level, per cent of the median level; and the direction in which it gets brighter. */
    readonly gradientPercent: number;
    readonly gradientDirectionDeg: number;
    /** Light that the corners lack beside the centre: no part of the gradient. */
    readonly vignettingPercent: number;
  };
  readonly skyLight: SkyLight;
  /** Relative to the clearest frame of the same filter. */
  readonly transparency: number;
  /** Relative to the best frame of the same filter: (transparency / (noise * FWHM))^2. */
  readonly weight: number;
  /** Image surface relative to the sensor at the centre. */
  readonly focusMicron: number;
  readonly focuserStep: number;
  readonly airTemperatureC: number;
  readonly spacingMm: number | null;
  readonly seeingArcsec: number;
  readonly tracking: {
    /** Second moments of the path at the sensor's centre, pixel^2. */
    readonly xx: number;
    readonly xy: number;
    readonly yy: number;
    /** Square root of the difference of its principal moments, arcsec, and that axis. */
    readonly rmsAlongArcsec: number;
    readonly axisDeg: number;
    /** Turn of the field during the exposure. */
    readonly rotationDeg: number;
  };
  /** Field on this frame against the unturned, unshifted field. */
  readonly pose: {
    readonly shiftX: number;
    readonly shiftY: number;
    readonly scale: number;
    readonly rotationDeg: number;
    readonly flipped: boolean;
  };
  readonly streaks: readonly PlantedStreak[];
  readonly planted: readonly PlantedCause[];
  readonly expected: ExpectedDecision;
}

/** Decision that the default limits give when they are applied to the true figures. */
export interface ExpectedDecision {
  readonly decision: 'keep' | 'reject';
  readonly reasons: readonly string[];
  /** Smallest relative distance of a figure from its limit: under 0.07 the decision may go either way. */
  readonly margin: number;
}

/** What is true of a simulated night; written as truth.json. */
export interface NightTruth {
  readonly schema: 'starassay/truth@1';
  readonly scenario: string;
  readonly description: string;
  readonly seed: number;
  readonly severity: string | null;
  readonly rig: {
    readonly arcsecPerPx: number;
    readonly focalRatio: number;
    readonly pitchMicron: number;
    readonly widthPx: number;
    readonly heightPx: number;
    readonly micronPerStep: number;
    readonly focuserBestStep: number;
    readonly raAxisDeg: number;
  };
  readonly night: {
    /** Towards the side where best focus lies farther out; highest minus lowest corner. */
    readonly tilt: {
      readonly directionDeg: number;
      readonly spanMicron: number;
      readonly angleArcmin: number;
      readonly follows: 'sensor' | 'gravity';
    };
    readonly curvature: { readonly cornerMicron: number };
    readonly astigmatism: { readonly cornerMicron: number };
    readonly coma: { readonly cornerMicron: number; readonly centreX: number; readonly centreY: number };
    readonly spacing: {
      readonly errorMm: number;
      readonly curvatureMicronPerMm: number;
      readonly nominalMm: number;
      readonly reducerFocalLengthMm: number | null;
    };
    /** A ladder's rungs, in the order they were made; empty otherwise. */
    readonly rungs: readonly {
      readonly spacingMm: number;
      readonly curvatureMicron: number;
      readonly astigmatismMicron: number;
      readonly arcsecPerPx: number;
    }[];
    readonly focusMicronPerKelvin: number;
    /** Planted causes that are plain enough to be found, the dominant one first. */
    readonly expectedCauses: readonly {
      readonly code: string;
      readonly frames: readonly string[];
      /** Largest relative growth of FWHM, of light lost or of elongation that the cause brings. */
      readonly effect: number;
    }[];
    readonly dominant: string | null;
  };
  readonly frames: readonly FrameTruth[];
}
