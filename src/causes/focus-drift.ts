import { criticalFocusZoneMicron, thermalShiftMicron, RIG_CAUTIONS } from '../optics/index.js';
import { bounded, logistic } from './confidence.js';
import { coreLogOdds } from './core-shape.js';
import { softeningPercent } from './field-effect.js';
import { driftOfRun, REFOCUS_PERCENT, type RunDrift } from './focus-trend.js';
import { isDim, type FrameFacts, type NightSeries } from './night-series.js';
import { reboundLogOdds } from './rebound.js';
import { courseAt, steadyDriftLogOdds, steadyLogOdds, steadyRise, type SteadyRise } from './steady-rise.js';
import { defocusEvidence, defocusLogOdds, defocusShare, focusRuns } from './focus-runs.js';
import type { Cause, Evidence } from './types.js';

const FEWEST_FRAMES = 5;
/** Softening over a run, per cent of FWHM, at which half of all observers would refocus. */
const MATTERS_PERCENT = 4;
const GREEN_MICRON = 0.55;
/** Significance of a moving focus from which it cannot be called absent. */
const HALF_SEEN = 2;
/** Said where only the course of the widths speaks. */
const LIKE_AIR =
  'The stars widen steadily but keep the shape that seeing gives them: air that worsens evenly looks the same, so refocus once and see whether they sharpen.';
/** Log-odds that a widening loses when the same frames lost light. */
const DIMMED = 3.2;

export const focusDrift: Cause = {
  meta: {
    code: 'focus-drift',
    title: 'Focus drifts while the focuser rests',
    whyItMatters:
      'A cooling tube shrinks and carries the sensor out of focus; each degree costs sharpness until somebody refocuses.',
    looksLike:
      'Worsening seeing also widens the stars, but it comes and goes, does not follow the temperature, keeps the ratio of half-flux diameter to FWHM, and does not change the pattern over the field. A filter out of focus stays the same all night.',
    whatToDo:
      'Refocus after the temperature change given, let the tube settle before the first frame, or let the focuser follow the temperature with the coefficient measured here.',
    references: [
      'Jarvis, Schechter & Jain 2008, arXiv:0810.0027 (focus diversity over a night)',
      'Critical focus zone 4.88 lambda N^2: Airy diameter 2.44 lambda N on either side (Born & Wolf, 8.5.2)',
      'Thermal expansion alpha L dT; aluminium 23e-6 per kelvin',
    ],
  },
  needs: (night) =>
    focusRuns(night).some((run) => run.facts.length >= FEWEST_FRAMES)
      ? null
      : `fewer than ${FEWEST_FRAMES} measurable frames in a row with the focuser at rest`,
  judge: (night) => {
    const runs = focusRuns(night).filter((run) => run.facts.length >= FEWEST_FRAMES);
    const judged = runs.flatMap((run) => judgeRun(night, run.facts) ?? []);
    if (judged.length === 0) return { answer: 'cannot-tell', why: 'the runs are too short to show a trend' };
    const surest = Math.max(...judged.map((run) => run.confidence));
    // Of runs that are about as sure, the one that cost most sharpness speaks.
    const best = judged
      .filter((run) => run.confidence >= ABOUT_AS_SURE * surest)
      .reduce((a, b) => (b.softeningPercent > a.softeningPercent ? b : a));
    if (best.confidence < 0.15) {
      const { softeningPercent: softer, significance } = best.drift;
      // A course that would matter and is half seen is not excluded either.
      if (softer > MATTERS_PERCENT && significance > HALF_SEEN)
        return {
          answer: 'cannot-tell',
          why: `a steady course of focus could widen the stars by ${softer.toFixed(0)} %, but changing seeing accounts for their widths as well: refocus once and see whether they sharpen`,
        };
      return {
        answer: 'clear',
        why: `no trend of focus: it explains ${best.drift.softeningPercent.toFixed(1)} % of star width over the longest rest of the focuser`,
      };
    }
    return {
      answer: 'found',
      confidence: best.confidence,
      effect: best.softeningPercent / 100,
      frames: judged.flatMap((run) => run.frames).filter((f) => f.confidence > 0.2),
      evidence: evidenceOf(best),
      advice: [
        ...(defocusLogOdds(best.share) < -1 ? [LIKE_AIR] : []),
        adviceOf(best, focalRatioOf(best.drift), focalLengthOf(best.drift)),
      ].join(' '),
    };
  },
};

/** Confidences within this part of the highest are no reason to prefer a run. */
const ABOUT_AS_SURE = 0.9;

interface JudgedRun {
  readonly drift: RunDrift;
  readonly share: ReturnType<typeof defocusShare>;
  readonly rise: SteadyRise | null;
  /** True when the fitted course of focus convinces, not the widths alone. */
  readonly modelled: boolean;
  readonly confidence: number;
  /** Growth of FWHM along the course, per cent. */
  readonly softeningPercent: number;
  readonly frames: readonly { readonly file: string; readonly confidence: number }[];
}

/** Two accounts of one run, the more convincing counts: a moving focus in widths, shapes and patterns; a steady rise of the widths alone. */
function judgeRun(night: NightSeries, facts: readonly FrameFacts[]): JudgedRun | null {
  const drift = driftOfRun(facts);
  if (!drift) return null;
  // Asked along the course of the drift: the seeing of the same frames widens them too, and would dilute it.
  const modelledCourse = drift.frames.map((f) => Math.log(1 + f.softeningPercent / 100));
  const modelledShare = defocusShare(facts, modelledCourse);
  // A step (a bumped focuser, another filter) is no drift, however well a slope fits it.
  const block = bounded(Math.max(0, drift.blockBetter), 5);
  const modelled = {
    // Stars that keep their wings while they widen speak against any defocus, however smoothly they widen.
    logOdds:
      bounded(1.3 * (drift.significance - 3.2), 4) -
      block +
      Math.min(0, defocusLogOdds(modelledShare)) +
      reboundLogOdds(night, facts, modelledCourse) -
      dimmed(facts, drift.frames),
    frames: drift.frames,
  };
  const rise = steadyRise(facts);
  const course = (rise?.facts ?? []).map((fact, k) => ({
    file: fact.file,
    softeningPercent: 100 * (Math.exp(rise?.course[k] ?? 0) - 1),
  }));
  const steadyCourse = facts.map((f) => courseAt(rise, f));
  const share = defocusShare(facts, steadyCourse);
  const steady = {
    logOdds:
      steadyDriftLogOdds(rise, share) + reboundLogOdds(night, facts, steadyCourse) - dimmed(facts, course),
    frames: course,
  };
  const large = (percent: number): number =>
    logistic(4 * Math.log(Math.max(1e-3, percent) / MATTERS_PERCENT));
  const verdicts = [modelled, steady].map(({ logOdds, frames }) => {
    const most = frames.reduce((m, f) => Math.max(m, f.softeningPercent), 0);
    return {
      softeningPercent: most,
      confidence: logistic(logOdds) * large(most),
      frames: undimmed(facts, frames)
        .map((f) => ({ file: f.file, softeningPercent: Math.min(f.softeningPercent, shown(facts, f.file)) }))
        .filter((f) => f.softeningPercent >= 2)
        .map((f) => ({ file: f.file, confidence: logistic(logOdds) * large(f.softeningPercent) })),
    };
  });
  const modelledWins = verdicts[0].confidence >= verdicts[1].confidence;
  return {
    drift,
    share: modelledWins ? modelledShare : share,
    rise,
    modelled: modelledWins || verdicts[0].confidence >= 0.5,
    ...verdicts[modelledWins ? 0 : 1],
  };
}

/** Part by which the seeing of one frame may hide what the drift has done to it. */
const SEEING_HIDES = 0.02;

/**
 * The most that the drift can have done to one frame, per cent: what its own stars have widened against the sharp frames of the group, and
 * what its own focus in the joint fit accounts for where that is well known. A course drawn through the whole run promises softening to
 * frames that show none.
 */
function shown(facts: readonly FrameFacts[], file: string): number {
  const fact = facts.find((f) => f.file === file);
  if (!fact || fact.softness === null) return 0;
  const widened = 100 * Math.max(0, fact.softness - 1 + SEEING_HIDES);
  const { fitted } = fact;
  if (fitted === null || fact.disturbed || fitted.focusErrorPx > 0.1 * fitted.seeingPx) return widened;
  return Math.min(
    widened,
    softeningPercent(Math.abs(fitted.focusPx) + 2 * fitted.focusErrorPx, fitted.seeingPx),
  );
}

/** Frames with their full light: what cloud or dew dimmed is left to those, whose haze widens stars too, unless nothing else is there. */
function undimmed<Frame extends { readonly file: string }>(
  facts: readonly FrameFacts[],
  frames: readonly Frame[],
): readonly Frame[] {
  const dim = new Set(facts.filter((f) => isDim(f.frame)).map((f) => f.file));
  const bright = frames.filter((f) => !dim.has(f.file));
  return bright.length > 0 ? bright : frames;
}

/** Log-odds lost where the widened frames are those that lost light: a film of dew dims and widens at once. */
function dimmed(
  facts: readonly FrameFacts[],
  frames: readonly { readonly file: string; readonly softeningPercent: number }[],
): number {
  const most = frames.reduce((m, f) => Math.max(m, f.softeningPercent), 0);
  const soft = new Set(frames.filter((f) => f.softeningPercent > 0.5 * most).map((f) => f.file));
  const dim = facts.filter((f) => soft.has(f.file) && isDim(f.frame)).length;
  if (soft.size === 0 || dim <= 0.6 * soft.size) return 0;
  // Unless the frames with their full light widen steadily too, or the cores of the dimmed ones fill as a disc fills them.
  if (steadyLogOdds(steadyRise(facts.filter((f) => !isDim(f.frame)))) > 0) return 0;
  const core = coreLogOdds(facts);
  return Math.max(0, DIMMED - Math.max(0, 1.5 * core));
}

function focalRatioOf(drift: RunDrift): number | null {
  const { scale, header } = drift.facts[0].frame;
  return scale?.focalRatio ?? header.focalRatio;
}

function focalLengthOf(drift: RunDrift): number | null {
  const { scale, header } = drift.facts[0].frame;
  return scale?.focalLengthMm ?? header.focalLengthMm;
}

function evidenceOf({ drift, share, rise, modelled, softeningPercent: softer }: JudgedRun): Evidence[] {
  const evidence: Evidence[] = [
    {
      what: 'by the fitted course (not single frames), stars widen from the sharpest to the softest end of the run by',
      value: softer,
      unit: '%',
      limit: MATTERS_PERCENT,
    },
    ...rateEvidence(rise),
    {
      what: 'movement of the focus against its own measuring error (widths and shapes together)',
      value: drift.significance,
      unit: 'times',
      limit: 3.2,
    },
  ];
  if (share !== null) evidence.push(defocusEvidence(share));
  // Where the widths alone speak, nothing is known of the focus in micrometres.
  if (modelled && drift.micronPerHour !== null)
    evidence.push({
      what: 'focus moves by',
      value: drift.micronPerHour.value,
      unit: 'um/h',
      error: drift.micronPerHour.error,
    });
  if (modelled && drift.micronPerKelvin !== null)
    evidence.push({
      what: 'focus moves by',
      value: drift.micronPerKelvin.value,
      unit: 'um/K',
      error: drift.micronPerKelvin.error,
    });
  if (drift.temperatureChangeK !== null)
    evidence.push({ what: 'temperature change over the run', value: drift.temperatureChangeK, unit: 'K' });
  return evidence;
}

/** How fast the stars widened, where they did so steadily. */
function rateEvidence(rise: SteadyRise | null): Evidence[] {
  if (rise === null || rise.significance < 3) return [];
  const [first, last] = [rise.facts[0], rise.facts[rise.facts.length - 1]];
  const hours = (last.hours ?? 0) - (first.hours ?? 0);
  const percent = 100 * (Math.exp(rise.rise) - 1);
  // The sign stands in words: a growth of -9 % per kelvin is a riddle.
  const verb = percent >= 0 ? 'grows' : 'shrinks';
  const per = (span: number, what: string, unit: string): Evidence[] => {
    const value = Math.abs(percent / span);
    return Math.abs(span) < 0.05 ? [] : [{ what, value, unit, error: value / rise.significance }];
  };
  const kelvin = (last.temperatureC ?? NaN) - (first.temperatureC ?? NaN);
  return [
    ...per(hours, `FWHM ${verb} steadily by`, '%/h'),
    ...(Number.isNaN(kelvin) ? [] : per(kelvin, `FWHM ${verb} per kelvin of ${courseWords(kelvin)} by`, '%')),
  ];
}

function courseWords(kelvin: number): string {
  return kelvin < 0 ? 'cooling' : 'warming';
}

function adviceOf(
  { drift, modelled }: JudgedRun,
  focalRatio: number | null,
  focalLengthMm: number | null,
): string {
  const sentences: string[] = [];
  const zone = focalRatio === null ? null : criticalFocusZoneMicron(GREEN_MICRON, focalRatio);
  const perKelvin = drift.micronPerKelvin;
  if (modelled && perKelvin !== null && zone !== null) {
    const kelvin = zone / Math.abs(perKelvin.value);
    sentences.push(
      `Focus moves about ${Math.abs(perKelvin.value).toFixed(0)} um per kelvin; the critical focus zone at f/${focalRatio?.toFixed(1)} is ${zone.toFixed(0)} um, so refocus every ${kelvin.toFixed(1)} K`,
    );
    if (drift.kelvinPerHour !== null && Math.abs(drift.kelvinPerHour) > 0.05)
      sentences.push(
        `(about every ${Math.max(0.1, kelvin / Math.abs(drift.kelvinPerHour)).toFixed(1)} h at tonight's rate of ${courseWords(drift.kelvinPerHour)}).`,
      );
    else sentences.push('.');
    if (focalLengthMm !== null) {
      const tube = thermalShiftMicron(focalLengthMm, 1);
      sentences.push(
        `An aluminium tube as long as the focal length would move ${tube.toFixed(0)} um per kelvin; much more than that points to a slipping draw tube rather than to temperature.`,
      );
    }
  } else if (modelled && drift.micronPerHour !== null && zone !== null) {
    const hours = zone / Math.abs(drift.micronPerHour.value);
    sentences.push(
      `Refocus about every ${hours.toFixed(1)} h: the critical focus zone is ${zone.toFixed(0)} um wide.`,
    );
  } else {
    const hours = drift.hoursToSoften;
    sentences.push(
      hours === null
        ? 'Refocus more often, at the least after every marked fall of temperature.'
        : `Refocus about every ${hours.toFixed(1)} h, before stars have widened by ${REFOCUS_PERCENT} %.`,
    );
  }
  sentences.push(
    'If the drift goes on at constant temperature, look for a draw tube that slides under load: tighten its lock.',
    RIG_CAUTIONS,
  );
  return sentences.join(' ').replace(' .', '.').replace('K (', 'K (');
}
