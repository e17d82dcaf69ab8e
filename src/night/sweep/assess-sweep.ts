import { median } from 'simple-statistics';
import { UsageError } from '../../errors.js';
import type { FrameAssessment } from '../../field/types.js';
import { criticalFocusZoneMicron, screwTurns, shimMicron, tiltAngleArcmin } from '../../optics/index.js';
import { version } from '../../package-root.js';
import { airShape, type AirShape } from './air-shape.js';
import { judgeSpacing } from './spacing-verdict.js';
import { starResponse, type StarResponse } from './star-response.js';
import { sweepAdvice } from './sweep-advice.js';
import { FEWEST_POSITIONS, sweepData } from './sweep-data.js';
import { fitSweep, type SweepFit } from './sweep-fit.js';
import { cornersOf, surfaceOf, symmetryCentre } from './sweep-surface.js';
import { sweepTiles } from './sweep-tiles.js';
import type { SpacingVerdict, SweepAssessment, SweepData, SweepFrame, SweepOptions } from './types.js';

/** Options that say nothing: everything from the headers. */
export const defaultSweepOptions: SweepOptions = {
  micronPerStep: null,
  focalRatio: null,
  pixelPitchMicron: null,
  positionPattern: null,
  inward: null,
  obstruction: 0,
  wavelengthMicron: 0.55,
  sensitivityMicronPerMm: null,
  flangeMm: null,
  tiltPlate: null,
};

/** Relative error of the growth of discs as a ruler, beside its own: rounding of the focal ratio, an obstruction not given. */
const RULER_ERROR = 0.05;
/** A frame whose cells lie this many times farther from the fit than those of its neighbours is left out. */
const OUTLIER_FACTOR = 4;
/** Seeing of a frame this far from the sweep's, in the logarithm of the moment, is called out. */
const ODD_SEEING = 1.4;

/**
 * A focus sweep: the surface of best focus over the sensor, its tilt, curvature and astigmatism, and what to do about them.
 *
 * @param frames measured frames of one camera, filter and field at different focuser positions
 * @throws UsageError when they are no sweep: too few positions, mixed filters, no position, or neither step size nor focal ratio
 */
export function assessSweep(frames: readonly FrameAssessment[], options: SweepOptions): SweepAssessment {
  const data = sweepData(frames, options);
  const growth = nominalGrowth(data);
  if (growth === null && data.micronPerStep === null) {
    throw new UsageError(
      'sweep: neither the travel per focuser step nor the focal ratio is known: steps cannot be turned into micrometres',
      'Give --micron-per-step (best: from the focuser’s data or a dial gauge), or --focal-ratio with the pixel size in the header or by --pixel-size.',
    );
  }
  const knownGrowth = data.micronPerStep === null ? null : growth;
  const first = fitSweep(data.frames, starResponse(options.obstruction), knownGrowth);
  const outliers = findOutliers(data.frames, first);
  const kept = data.frames.filter((frame) => !outliers.has(frame.file));
  const used: SweepData = { ...data, frames: kept };
  const air = airShape(data.frames, first);
  const response = starResponse(options.obstruction, air.exponent);
  const fit = fitSweep(kept, response, knownGrowth);
  return conclude({ data: used, all: data, fit, air, response, outliers }, options);
}

/** The fitted sweep and what it was made from. */
interface Fitted {
  /** What the fit rests on, and everything that was given. */
  readonly data: SweepData;
  readonly all: SweepData;
  readonly fit: SweepFit;
  readonly air: AirShape;
  readonly response: StarResponse;
  /** File -> why it was left out of the fit. */
  readonly outliers: ReadonlyMap<string, string>;
}

/** Pixels of disc per unit of `outward`, from focal ratio and pixel pitch; per micrometre. */
function nominalGrowth(data: SweepData): number | null {
  const { focalRatio, pixelPitchMicron } = data;
  return focalRatio === null || pixelPitchMicron === null ? null : 1 / (focalRatio * pixelPitchMicron);
}

/** Frames that do not go with the rest: file -> why. At most a third of them, and never so many that too few positions stay. */
function findOutliers(frames: readonly SweepFrame[], fit: SweepFit): Map<string, string> {
  const typical = Math.max(0.5, median([...fit.frameMisfit]));
  const worst = frames
    .map((frame, f) => ({ frame, misfit: fit.frameMisfit[f]! }))
    .filter(({ misfit }) => misfit > OUTLIER_FACTOR * typical)
    .sort((a, b) => b.misfit - a.misfit)
    .slice(0, Math.floor(frames.length / 3));
  const out = new Map<string, string>();
  for (const { frame, misfit } of worst) {
    const left = frames.filter((other) => other !== frame && !out.has(other.file));
    if (new Set(left.map((other) => other.positionStep)).size < FEWEST_POSITIONS) break;
    out.set(
      frame.file,
      `does not go with the others (typical residual ${misfit.toFixed(1)} errors): moved focuser, trailed, or rings too wide to be measured`,
    );
  }
  return out;
}

function conclude(fitted: Fitted, options: SweepOptions): SweepAssessment {
  const { data, all, fit, air, response } = fitted;
  const warnings = [...data.warnings];
  const nominal = nominalGrowth(data);
  // Without a step size the growth of the discs in steps, set against focal ratio and pixel pitch, is the ruler.
  const micronPerStep = data.micronPerStep ?? fit.growth.value / nominal!;
  const perUnit = data.micronPerStep === null ? micronPerStep : 1;
  const scaleError = data.micronPerStep === null ? Math.hypot(fit.growth.relativeError, RULER_ERROR) : 0;
  const surface = surfaceOf(fit, perUnit, data, scaleError);
  const implied =
    data.pixelPitchMicron === null || data.micronPerStep === null
      ? null
      : 1 / (fit.growth.value * data.pixelPitchMicron);
  const focalRatio = data.focalRatio ?? implied;
  const zone = focalRatio === null ? null : criticalFocusZoneMicron(options.wavelengthMicron, focalRatio);
  const diagonalPx = Math.hypot(data.widthPx, data.heightPx);
  const diagonalMm = data.pixelPitchMicron === null ? NaN : (diagonalPx * data.pixelPitchMicron) / 1000;
  const angle = (micronPerHalfDiagonal: number): number =>
    Number.isFinite(diagonalMm) ? tiltAngleArcmin(micronPerHalfDiagonal, diagonalMm / 2) : NaN;

  const tiles = sweepTiles(data, fit, response, perUnit);
  const corners = cornersOf(surface, data);
  const medial = { value: surface.medial, error: surface.medialError };
  const astigmatism = { value: surface.astigmatism, error: surface.astigmatismError };
  const [low, high] = [data.frames[0]!.outward * perUnit, data.frames.at(-1)!.outward * perUnit];
  const heights = [surface.centre, ...corners.map((corner) => surface.centre + corner.medialMicron)];
  const inside = (height: number): boolean => height > low && height < high;
  const bracketed = heights.every(inside) ? 'yes' : inside(surface.centre) ? 'centre-only' : 'no';
  const toStep = (outwardMicron: number): number =>
    data.middleStep + (data.outwardSign * outwardMicron) / micronPerStep;
  const spacing: SpacingVerdict =
    bracketed === 'no'
      ? {
          verdict: 'cannot-tell',
          errorMm: null,
          errorMmError: null,
          confidence: 0,
          reasoning: ['the sweep does not bracket focus: nothing can be said about the spacing'],
        }
      : judgeSpacing({
          medial,
          astigmatism,
          zoneMicron: zone,
          sensitivityMicronPerMm: options.sensitivityMicronPerMm,
          signGiven: data.signGiven,
        });
  if (data.micronPerStep === null) {
    warnings.push(
      `the travel per step is not known: ${micronPerStep.toFixed(2)} µm per step follows from how fast stars grow with defocus at f/${data.focalRatio!.toFixed(1)} (to ${Math.round(100 * scaleError)} %, and whatever the focal ratio is wrong by; the errors of all heights hold it): better give --micron-per-step`,
    );
  } else if (fit.growth.agrees === false && implied !== null) {
    warnings.push(
      `stars grow with defocus as at f/${implied.toFixed(1)}, not f/${data.focalRatio!.toFixed(1)}: check step size and focal ratio; with a reducer on the draw tube the image moves by the square of its factor only; all micrometres here are those of the focuser's travel`,
    );
  }
  const worstCorner = Math.max(
    ...corners.flatMap((c) => [Math.abs(c.tangentialMicron), Math.abs(c.sagittalMicron)]),
  );
  const seeingOf = (logMoment: number): number => Math.sqrt(Math.exp(logMoment) / air.momentOverFwhm2);
  const seeingPx = median(fit.own.map((own) => seeingOf(own.logMoment)));
  const assessment: Omit<SweepAssessment, 'advice'> = {
    schema: 'starassay/sweep@1',
    version,
    tilt: {
      directionDeg: surface.tiltDirectionDeg,
      directionErrorDeg: surface.tiltDirectionErrorDeg,
      spanMicron: surface.span,
      spanErrorMicron: surface.spanError,
      angleArcmin: angle(surface.slope),
      angleErrorArcmin: angle(surface.slopeError),
      significant: surface.slope > 3 * surface.slopeError,
    },
    curvature: { cornerMicron: medial.value, errorMicron: medial.error, significant: isClear(medial) },
    astigmatism: {
      cornerMicron: astigmatism.value,
      errorMicron: astigmatism.error,
      significant: isClear(astigmatism),
    },
    bestFocus: {
      centreStep: toStep(surface.centre),
      centreErrorStep: surface.centreError / micronPerStep,
      centreMicron: surface.centre,
      fieldStep: toStep(surface.centre + surface.medial * surface.meanR2),
      bracketed,
    },
    centreOfSymmetry: symmetryCentre(data.frames, fit, tiles, perUnit),
    corners,
    surface: {
      tiltX: surface.tiltX,
      tiltY: surface.tiltY,
      tangential: surface.tangential,
      sagittal: surface.sagittal,
    },
    ...remedies(angle(surface.slope), surface.tiltDirectionDeg, options),
    focusZone:
      zone === null
        ? null
        : { totalMicron: zone, focalRatio: focalRatio!, wavelengthMicron: options.wavelengthMicron },
    scale: {
      micronPerStep,
      micronPerStepSource: data.micronPerStepSource ?? 'defocus',
      focalRatio: data.focalRatio,
      impliedFocalRatio: implied,
      impliedFocalRatioError: implied === null ? null : implied * fit.growth.relativeError,
      larger: data.outwardSign === 1 ? 'outwards' : 'inwards',
      signGiven: data.signGiven,
    },
    seeing: {
      medianPx: seeingPx,
      medianArcsec: data.arcsecPerPx === null ? null : seeingPx * data.arcsecPerPx,
      spreadPercent: 50 * fit.seeingSpread,
      momentOverFwhm2: air.momentOverFwhm2,
      exponent: air.exponent,
    },
    spacing,
    flat: zone === null ? null : worstCorner <= zone / 2,
    frames: all.frames.map((frame) => describeFrame(frame, fitted, perUnit, seeingOf)),
    leftOut: data.leftOut,
    tiles,
    fit: {
      cells: fit.cells,
      reducedChiSquare: fit.reducedChiSquare,
      explainedVariance: fit.explainedVariance,
    },
    image: { widthPx: data.widthPx, heightPx: data.heightPx, diagonalMm },
    warnings,
  };
  return { ...assessment, advice: sweepAdvice(assessment) };
}

/** Shim and screws for a tilt: the gap must widen on the side where best focus lies farther out. */
function remedies(
  angleArcmin: number,
  directionDeg: number,
  { flangeMm, tiltPlate }: SweepOptions,
): Pick<SweepAssessment, 'shim' | 'screws'> {
  const known = Number.isFinite(angleArcmin);
  return {
    shim:
      flangeMm === null || !known
        ? null
        : { flangeMm, thicknessMicron: shimMicron(angleArcmin, flangeMm), directionDeg },
    screws:
      tiltPlate === null || !known
        ? null
        : screwTurns(
            angleArcmin,
            directionDeg,
            tiltPlate.radiusMm,
            tiltPlate.pitchMm,
            tiltPlate.screwDirectionsDeg,
          ),
  };
}

function isClear({ value, error }: { value: number; error: number }): boolean {
  return Math.abs(value) > 3 * error;
}

function describeFrame(
  frame: SweepFrame,
  { data, fit, outliers }: Fitted,
  perUnit: number,
  seeingOf: (logMoment: number) => number,
): SweepAssessment['frames'][number] {
  const f = data.frames.indexOf(frame);
  const own = f < 0 ? null : fit.own[f]!;
  const odd = own !== null && Math.abs(own.logMoment - fit.shared[7]!) > ODD_SEEING;
  return {
    file: frame.file,
    positionStep: frame.positionStep,
    outwardMicron: frame.outward * perUnit,
    seeingPx: own === null ? NaN : seeingOf(own.logMoment),
    cells: frame.cells.length,
    stars: frame.stars,
    misfit: f < 0 ? NaN : fit.frameMisfit[f]!,
    outlier:
      outliers.get(frame.file) ??
      (odd ? 'stars of a very different width than the other frames predict' : null),
  };
}
