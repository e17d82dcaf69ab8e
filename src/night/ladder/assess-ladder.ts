import { median } from 'simple-statistics';
import { StarassayError, UsageError } from '../../errors.js';
import { version } from '../../package-root.js';
import {
  assessSweep,
  starResponse,
  type Measured,
  type SweepAssessment,
  type SweepOptions,
} from '../sweep/index.js';
import { ladderAdvice } from './ladder-advice.js';
import { ladderLine, type LadderLine } from './ladder-line.js';
import { parabolaThrough } from './ladder-parabola.js';
import { focusError, rungExcess, type RungExcess } from './rung-excess.js';
import { scaleWitness } from './scale-witness.js';
import type { LadderAssessment, LadderOptions, LadderPoint, LadderRung } from './types.js';

/** A best spacing farther outside the rungs than this is no place to predict stars for, mm. */
const FARTHEST_MM = 5;
/** Points of the drawn curve of corner sizes. */
const CURVE_POINTS = 41;

/** A rung as measured. */
interface Measurement {
  readonly rung: LadderRung;
  readonly sweep: SweepAssessment | null;
  readonly excess: RungExcess | null;
  readonly why: string | null;
}

/**
 * A spacing ladder: medial curvature at each spacing, the straight line through it, its zero (the best spacing) with its error.
 *
 * A rung with frames at four or more focuser positions is a sweep and gives a signed curvature; other rungs only say how soft their
 * corners are, and three of them give the best spacing as the lowest place of a parabola (weaker: focus and tilt mix in).
 *
 * @throws UsageError with fewer than two spacings
 */
export function assessLadder(
  rungs: readonly LadderRung[],
  sweepOptions: SweepOptions,
  options: LadderOptions,
): LadderAssessment {
  refuseSingleSpacing(rungs.map((rung) => rung.spacingMm));
  const measured = [...rungs]
    .sort((a, b) => a.spacingMm - b.spacingMm)
    .map((rung) => measureRung(rung, sweepOptions));
  const warnings = measured.flatMap(({ rung, sweep }) =>
    (sweep?.warnings ?? []).map((warning) => `${rung.spacingMm} mm: ${warning}`),
  );
  const swept = measured.flatMap(({ rung, sweep }) =>
    sweep === null ? [] : [{ spacingMm: rung.spacingMm, sweep }],
  );
  const line = lineThrough(swept, (sweep) => ({
    value: sweep.curvature.cornerMicron,
    error: sweep.curvature.errorMicron,
  }));
  const clearLine = line !== null && Math.abs(line.slope.value) > 2 * line.slope.error ? line : null;
  if (line !== null && clearLine === null) {
    warnings.push(
      'the curvature does not change with the spacing by more than its errors: longer steps between the spacings are needed',
    );
  }
  const lowest =
    clearLine !== null
      ? null
      : leastSoft(
          measured.flatMap(({ rung, excess }) =>
            excess === null ? [] : [{ spacingMm: rung.spacingMm, excess }],
          ),
        );
  const best = clearLine?.zero ?? lowest;
  const spacings = measured.map(({ rung }) => rung.spacingMm);
  const [low, high] = [Math.min(...spacings), Math.max(...spacings)];
  const predictor = clearLine === null ? null : cornerPredictor(swept, sweepOptions);
  const result: Omit<LadderAssessment, 'advice'> = {
    schema: 'starassay/ladder@1',
    version,
    bestSpacingMm: best?.value ?? null,
    uncertaintyMm: best?.error ?? null,
    evidence: clearLine !== null ? 'sweeps' : lowest !== null ? 'single-frames' : 'none',
    bracketed: best === null || best === undefined ? null : best.value >= low && best.value <= high,
    sensitivityMicronPerMm: clearLine?.slope.value ?? null,
    sensitivityErrorMicronPerMm: clearLine?.slope.error ?? null,
    surfaceRatio: clearLine === null ? null : surfaceRatio(swept),
    lineChi: clearLine?.chi ?? null,
    points: measured.map((m) => describeRung(m, clearLine)),
    predictions:
      predictor === null || clearLine === null
        ? []
        : wantedSpacings(swept, options, low, high, clearLine.zero.value).map(predictor),
    cornerCurve:
      predictor === null
        ? []
        : Array.from(
            { length: CURVE_POINTS },
            (_, i) => low - 1 + ((high - low + 2) * i) / (CURVE_POINTS - 1),
          )
            .map(predictor)
            .map(({ spacingMm, cornerFwhmPx }) => ({ spacingMm, cornerFwhmPx })),
    line:
      clearLine === null
        ? null
        : {
            atMm: clearLine.middle,
            curvatureMicron: clearLine.intercept,
            micronPerMm: clearLine.slope.value,
          },
    scale: scaleWitness(rungs, options, best?.value ?? (low + high) / 2),
    sweeps: swept,
    warnings,
  };
  return { ...result, advice: ladderAdvice(result) };
}

/** Refuse a ladder of one spacing, before its frames are measured. Throws UsageError. */
export function refuseSingleSpacing(spacingsMm: readonly number[]): void {
  if (new Set(spacingsMm).size >= 2) return;
  throw new UsageError(
    'ladder: one spacing only; a ladder needs at least two',
    'Name each as MM=PATH, for example: starassay ladder 54.0=first/ 55.0=second/',
  );
}

function measureRung(rung: LadderRung, options: SweepOptions): Measurement {
  const excess = rungExcess(rung.frames);
  try {
    const sweep = assessSweep(rung.frames, options);
    if (sweep.bestFocus.bracketed !== 'no') return { rung, sweep, excess, why: null };
    return { rung, sweep: null, excess, why: 'its sweep does not bracket focus' };
  } catch (error) {
    if (!(error instanceof StarassayError)) throw error;
    return { rung, sweep: null, excess, why: error.message.replace(/^sweep: /, '') };
  }
}

/** Where the corners are least soft; every rung's unknown focus error counts by what the curve itself says of its blur. */
function leastSoft(
  rungs: readonly { readonly spacingMm: number; readonly excess: RungExcess }[],
): Measured | null {
  const points = (
    heightAt: (rung: (typeof rungs)[number]) => number,
  ): Parameters<typeof parabolaThrough>[0] =>
    rungs.map((rung) => ({
      x: rung.spacingMm,
      y: rung.excess.value,
      error: Math.hypot(rung.excess.error, focusError(heightAt(rung), rung.excess)),
    }));
  const first = parabolaThrough(points((rung) => rung.excess.value));
  if (first === null) return null;
  return parabolaThrough(points((rung) => first.at(rung.spacingMm)))?.lowest ?? null;
}

function lineThrough(
  swept: readonly { readonly spacingMm: number; readonly sweep: SweepAssessment }[],
  figure: (sweep: SweepAssessment) => Measured,
): LadderLine | null {
  if (swept.length < 2) return null;
  return ladderLine(
    swept.map(({ spacingMm, sweep }) => {
      const { value, error } = figure(sweep);
      return { x: spacingMm, y: value, error };
    }),
  );
}

/** Slope of the tangential over that of the sagittal surface against the spacing. */
function surfaceRatio(
  swept: readonly { readonly spacingMm: number; readonly sweep: SweepAssessment }[],
): Measured | null {
  const error = (sweep: SweepAssessment): number =>
    Math.hypot(sweep.curvature.errorMicron, sweep.astigmatism.errorMicron);
  const t = lineThrough(swept, (s) => ({ value: s.surface.tangential, error: error(s) }));
  const g = lineThrough(swept, (s) => ({ value: s.surface.sagittal, error: error(s) }));
  if (t === null || g === null || Math.abs(g.slope.value) < 3 * g.slope.error) return null;
  const value = t.slope.value / g.slope.value;
  return {
    value,
    error: Math.abs(value) * Math.hypot(t.slope.error / t.slope.value, g.slope.error / g.slope.value),
  };
}

function describeRung({ rung, sweep, excess, why }: Measurement, line: LadderLine | null): LadderPoint {
  const lengths = rung.frames.flatMap((frame) => frame.scale?.focalLengthMm ?? []);
  return {
    spacingMm: rung.spacingMm,
    frames: rung.frames.length,
    evidence: sweep !== null ? 'sweep' : excess !== null ? 'single-frames' : 'none',
    curvatureMicron: sweep?.curvature.cornerMicron ?? null,
    curvatureErrorMicron: sweep?.curvature.errorMicron ?? null,
    astigmatismMicron: sweep?.astigmatism.cornerMicron ?? null,
    tiltSpanMicron: sweep?.tilt.spanMicron ?? null,
    cornerExcessPx2: excess?.value ?? null,
    cornerExcessErrorPx2: excess === null ? null : Math.hypot(excess.error, focusError(excess.value, excess)),
    focalLengthMm: lengths.length > 0 ? median(lengths) : null,
    offLineMicron:
      sweep === null || line === null
        ? null
        : sweep.curvature.cornerMicron - (line.intercept + line.slope.value * (rung.spacingMm - line.middle)),
    why,
  };
}

/** Spacings whose corner stars are told: the rungs, those asked for, and the best one unless it lies far outside. */
function wantedSpacings(
  swept: readonly { readonly spacingMm: number }[],
  options: LadderOptions,
  low: number,
  high: number,
  bestMm: number,
): number[] {
  const best = bestMm > low - FARTHEST_MM && bestMm < high + FARTHEST_MM ? [bestMm] : [];
  const wanted = new Set([...swept.map((s) => s.spacingMm), ...options.predictAtMm, ...best]);
  return [...wanted].sort((a, b) => a - b);
}

/** Corner stars at any spacing: both surfaces by their own lines, focus set for the centre; null without focal ratio or pixel size. */
function cornerPredictor(
  swept: readonly { readonly spacingMm: number; readonly sweep: SweepAssessment }[],
  sweepOptions: SweepOptions,
): ((spacingMm: number) => LadderAssessment['predictions'][number]) | null {
  const surface = (pick: (s: SweepAssessment) => number): ((mm: number) => number) => {
    const line = lineThrough(swept, (s) => ({ value: pick(s), error: s.curvature.errorMicron }))!;
    return (mm) => line.intercept + line.slope.value * (mm - line.middle);
  };
  const tangential = surface((s) => s.surface.tangential);
  const sagittal = surface((s) => s.surface.sagittal);
  const seeingPx = median(swept.map(({ sweep }) => sweep.seeing.medianPx));
  const { image, scale, seeing } = swept[0]!.sweep;
  const pitchMicron = (1000 * image.diagonalMm) / Math.hypot(image.widthPx, image.heightPx);
  const ratio = scale.focalRatio ?? scale.impliedFocalRatio;
  if (ratio === null || !Number.isFinite(pitchMicron)) return null;
  const response = starResponse(sweepOptions.obstruction, seeing.exponent);
  const widthPx = seeingPx * Math.sqrt(5 * seeing.momentOverFwhm2);
  const width = (micron: number): number => micron / (ratio * pitchMicron * widthPx);
  return (spacingMm) => {
    const [t, s] = [width(tangential(spacingMm)), width(sagittal(spacingMm))];
    const size = seeingPx * Math.sqrt(Math.sqrt(response.moment(t, s) * response.moment(s, t)));
    return {
      spacingMm,
      cornerMicron: (tangential(spacingMm) + sagittal(spacingMm)) / 2,
      cornerFwhmPx: size,
      cornerFwhmArcsec: seeing.medianArcsec === null ? null : (size * seeing.medianArcsec) / seeing.medianPx,
      centreFwhmPx: seeingPx,
    };
  };
}
