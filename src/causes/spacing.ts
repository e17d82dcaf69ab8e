import { RIG_CAUTIONS } from '../optics/index.js';
import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { bounded, logistic, realAndLarge } from './confidence.js';
import { seenInFrames, setups, softeningPercent, typicalFocusPx, type SetupFacts } from './field-effect.js';
import type { CauseAnswer, Evidence } from './types.js';
import type { NightSeries } from './night-series.js';

/** What the corners say about the distance from corrector to sensor. */
export interface SpacingVerdict {
  readonly setup: SetupFacts;
  /** Probability that the spacing is wrong at all (in a way that matters). */
  readonly wrong: number;
  /** Probability that it is too short, given that it is wrong. */
  readonly short: number;
  /** Softening of the corners, per cent. */
  readonly effectPercent: number;
  /** Medial curvature over astigmatism; between 0 and 2: corners drawn out along the radius at best focus. */
  readonly ratio: number | null;
  readonly ratioError: number | null;
}

/** Softening of the corners against the middle, per cent, at which half of all observers would act. */
const MATTERS_PERCENT = 5.5;

/**
 * Judge the spacing of a set-up from its fitted curvature and astigmatism.
 *
 * Third order: a spacing error x (in units where the design's residual astigmatism is 1) makes medial curvature 2x and
 * astigmatism 1 + x, so their ratio is 2x/(1 + x): in (0, 2) on one side of the nominal spacing, negative on the other, above 2
 * far out on that other side; near 2 the error swamps the residual and the ratio cannot tell. Which side is "short": corners drawn
 * out along the radius at best focus mean short (common practice, no source; some correctors reverse it). The second
 * witness is the curvature's own sign, where the sense of focus is known: a corrector too near the sensor leaves the
 * inward-curved field of the telescope under-corrected (corner focus nearer to the optics), too far over-corrects it.
 */
export function spacingVerdict(setup: SetupFacts): SpacingVerdict {
  const { detail, signsKnown } = setup.optics;
  const c = detail.curvature;
  const focus = typicalFocusPx(setup);
  const corner = Math.hypot(c.medialPx, c.astigmatismPx);
  const effectPercent =
    softeningPercent(corner + 0.5 * focus, setup.fwhmPx) - softeningPercent(0.5 * focus, setup.fwhmPx);
  const wrong = seenInFrames(setup) * realAndLarge(c.significance, 5, effectPercent, MATTERS_PERCENT);
  const astigmatic = Math.abs(c.astigmatismPx) > 2.5 * c.astigmatismErrorPx;
  const ratio = astigmatic ? c.medialPx / c.astigmatismPx : null;
  const ratioError =
    ratio === null
      ? null
      : Math.abs(ratio) *
        Math.sqrt(
          Math.max(
            0,
            (c.medialErrorPx / c.medialPx) ** 2 +
              (c.astigmatismErrorPx / c.astigmatismPx) ** 2 -
              (2 * c.correlation * c.medialErrorPx * c.astigmatismErrorPx) / (c.medialPx * c.astigmatismPx),
          ),
        );
  const seen = seenRadial(setup);
  const byRatio =
    ratio === null || ratioError === null ? null : leanOfRatio(ratio, Math.max(0.15, ratioError));
  // Without the sense of focus the shape of the corners speaks alone, and less where theory has two answers.
  const radial = signsKnown
    ? (byRatio?.either ?? 0)
    : (seen === null ? (byRatio?.radial ?? 0) : lean(seen.value / Math.hypot(seen.error, 0.012))) *
      0.8 *
      (1 - (byRatio?.beyond ?? 0));
  const sense = signsKnown ? -bounded(c.medialPx / Math.max(1e-6, c.medialErrorPx) / 4, 1) : 0;
  return { setup, wrong, short: logistic(2.6 * radial + 3.6 * sense), effectPercent, ratio, ratioError };
}

/** Leanings, +1 for short, -1 for long. */
interface RatioLean {
  /** Corners drawn out along the radius (+1) or around the centre (-1). */
  readonly radial: number;
  /** Probability that the ratio lies above 2: spacing far too long in theory, or the simple bowl of a telescope without a corrector. */
  readonly beyond: number;
  /** Both together, beyond taken for long. */
  readonly either: number;
}

function leanOfRatio(ratio: number, error: number): RatioLean {
  const radial = lean(ratio / error);
  // Correctors follow the third order to a few tens of per cent only.
  const beyond = ratio > 0 ? logistic(Math.log(ratio / 2.3) / Math.hypot(0.25, error / ratio)) : 0;
  return { radial, beyond, either: radial * (1 - beyond) - beyond * (radial > 0 ? 1 : 0) };
}

/** From a value in its errors to a leaning, -1..1. */
function lean(significance: number): number {
  return 2 * logistic(1.7 * significance) - 1;
}

/** Radial (+) or tangential (-) elongation of the outer field as the sharper half of the frames shows it; null when not measured. */
function seenRadial(setup: SetupFacts): { readonly value: number; readonly error: number } | null {
  const frames = setup.facts
    .map((f) => f.frame)
    .filter((frame) => frame.field.radial !== null && frame.fwhm.px !== null)
    .sort((a, b) => (a.fwhm.px ?? 0) - (b.fwhm.px ?? 0));
  const values = frames.slice(0, Math.ceil(frames.length / 2)).map((frame) => frame.field.radial ?? 0);
  if (values.length === 0) return null;
  const value = median(values);
  const scatter = values.length < 3 ? 0.03 : 1.4826 * medianAbsoluteDeviation(values);
  return { value, error: scatter / Math.sqrt(values.length) };
}

/** Answer for one of the two directions. */
export function judgeSpacing(night: NightSeries, direction: 'short' | 'long'): CauseAnswer {
  const verdicts = setups(night).map(spacingVerdict);
  const best = verdicts.reduce((a, b) => (b.wrong > a.wrong ? b : a));
  const share = direction === 'short' ? best.short : 1 - best.short;
  const confidence = best.wrong * share;
  if (best.wrong >= 0.3 && Math.abs(best.short - 0.5) < 0.1) {
    return {
      answer: 'cannot-tell',
      why: `the corners are soft by ${best.effectPercent.toFixed(0)} % in a symmetrical pattern, but the frames do not say in which direction the spacing errs: take a few frames on both sides of focus`,
    };
  }
  if (confidence < 0.15) {
    return {
      answer: 'clear',
      why:
        best.wrong < 0.3
          ? `curvature and astigmatism soften the corners by ${best.effectPercent.toFixed(1)} %`
          : `the corners speak for spacing that is too ${direction === 'short' ? 'long' : 'short'}`,
    };
  }
  return {
    answer: 'found',
    confidence,
    // The curvature's part alone: astigmatism may be the design's own.
    effect: softeningPercent(Math.abs(best.setup.optics.detail.curvature.medialPx), best.setup.fwhmPx) / 100,
    frames: best.setup.facts.map((f) => ({ file: f.file, confidence })),
    evidence: evidenceOf(best),
    advice: adviceOf(best, direction),
  };
}

function evidenceOf(verdict: SpacingVerdict): Evidence[] {
  const { optics } = verdict.setup;
  const unit = optics.unit === 'micron' ? 'um' : 'px of blur disc';
  const evidence: Evidence[] = [
    {
      what: 'softening of the corners by curvature and astigmatism',
      value: verdict.effectPercent,
      unit: '%',
      limit: MATTERS_PERCENT,
      region: 'corners',
    },
    {
      what: 'the pattern against its own measuring error',
      value: optics.detail.curvature.significance,
      unit: 'times',
      limit: 5,
    },
  ];
  if (optics.curvature !== null)
    evidence.push({
      what: 'medial image surface at the corner against the centre',
      value: optics.curvature.corner,
      unit,
      error: optics.curvature.error,
    });
  if (optics.astigmatism !== null)
    evidence.push({
      what: 'astigmatism at the corner, (tangential - sagittal)/2',
      value: optics.astigmatism.corner,
      unit,
      error: optics.astigmatism.error,
    });
  if (verdict.ratio !== null)
    evidence.push({
      what:
        verdict.ratio > 0
          ? 'curvature over astigmatism (above zero: drawn out along the radius)'
          : 'curvature over astigmatism (below zero: drawn out around the centre)',
      value: verdict.ratio,
      unit: '',
      error: verdict.ratioError ?? undefined,
    });
  const seen = seenRadial(verdict.setup);
  if (seen !== null)
    evidence.push({
      what: 'radial (+) or tangential (-) elongation of the outer field, (M_rr - M_tt)/(M_rr + M_tt)',
      value: seen.value,
      unit: '',
      error: seen.error,
      region: 'outer field',
    });
  return evidence;
}

function adviceOf(verdict: SpacingVerdict, direction: 'short' | 'long'): string {
  const { signsKnown } = verdict.setup.optics;
  const step =
    direction === 'short'
      ? 'Add to the distance between corrector and sensor: start with a 0.5 mm spacer.'
      : 'Shorten the distance between corrector and sensor: start by taking out 0.5 mm.';
  return [
    step,
    'How many micrometres of curvature one millimetre of spacing makes differs from corrector to corrector: take the same field at two or three spacings (`starassay ladder`), and the distance at which the curvature vanishes follows.',
    signsKnown
      ? 'The direction rests on the sense in which focus moved during the night and on the shape of the corner stars.'
      : 'The direction rests on the shape of the corner stars alone (a rule of thumb that some correctors reverse): confirm it with the next frames before ordering parts.',
    'Remember that a filter adds about a third of its thickness to the distance needed.',
    RIG_CAUTIONS,
  ].join(' ');
}
