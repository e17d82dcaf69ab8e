import { median } from 'simple-statistics';
import { criticalFocusZoneMicron } from '../optics/index.js';
import { bounded, logistic } from './confidence.js';
import { softeningPercent } from './field-effect.js';
import { filterStepLogOdds, filterSteps } from './filter-step.js';
import { DEFOCUS_SLOPE, defocusLogOdds, defocusShare, focusRuns } from './focus-runs.js';
import { driftOfRun, type RunDrift } from './focus-trend.js';
import type { FrameFacts, NightSeries } from './night-series.js';
import { nightConfidence } from './trail-answer.js';
import type { Cause, Evidence } from './types.js';

/** Softening by defocus, per cent of FWHM, at which half of all observers would refocus. */
const MATTERS_PERCENT = 5.5;
/** Width that the colour of the light alone may give one filter over another: (700 nm / 430 nm)^0.2 = 1.10, rarely the whole of it. */
const COLOUR = 1.06;

export const focusOffset: Cause = {
  meta: {
    code: 'focus-offset',
    title: 'Part of the night was out of focus',
    whyItMatters:
      'A filter of another thickness, a slipped focuser or a missed refocus softens every frame until somebody notices.',
    looksLike:
      'Focus drift grows from frame to frame. Bad seeing keeps the shape of the stars. A curved field looks out of focus in the corners or in the middle, never in both.',
    whatToDo:
      'Refocus after every change of filter, or store an offset for each filter; check that the focuser holds its place.',
    references: [
      'A filter moves focus back by about a third of its thickness; filters differ (common practice)',
      'Half-flux diameter over FWHM falls from 1.14 to about 0.8 as a disc of defocus takes over (computed; see night/blur-response)',
    ],
  },
  needs: (night) =>
    night.facts.filter((f) => f.softness !== null).length >= 3
      ? null
      : 'fewer than three measurable frames to compare',
  judge: (night) => {
    const stretches = offsetStretches(night);
    const frames = stretches.flatMap((s) => s.facts.map((f) => ({ file: f.file, confidence: s.confidence })));
    const confidence = nightConfidence(frames);
    if (confidence < 0.2 || stretches.length === 0) {
      return { answer: 'clear', why: 'no filter and no part of the night is out of focus against the rest' };
    }
    const worst = stretches.reduce((a, b) => (b.confidence > a.confidence ? b : a));
    return {
      answer: 'found',
      confidence,
      effect: worst.softerPercent / 100,
      frames: frames.filter((f) => f.confidence > 0.2),
      evidence: worst.evidence,
      advice: adviceOf(worst),
    };
  },
};

interface Stretch {
  readonly facts: readonly FrameFacts[];
  readonly filter: string | null;
  readonly confidence: number;
  readonly offsetMicron: number | null;
  readonly wholeNight: boolean;
  /** Softening that the stars show of it, per cent. */
  readonly softerPercent: number;
  readonly evidence: readonly Evidence[];
}

/** Stretches of frames (a filter, or frames side by side) whose focus lies off steadily. */
function offsetStretches(night: NightSeries): Stretch[] {
  const result: Stretch[] = [];
  const calm = sharpest(night);
  const drifts = focusRuns(night).flatMap((run) => {
    const drift = run.facts.length < 5 ? null : driftOfRun(run.facts);
    return drift === null ? [] : [{ drift, files: new Set(run.facts.map((f) => f.file)) }];
  });
  const steps = filterSteps(night.facts);
  const shapeShare = defocusShare(night.facts);
  for (const facts of candidates(night)) {
    const fitted = facts.filter((f) => f.fitted !== null);
    if (fitted.length === 0) continue;
    const offset = median(fitted.map((f) => offFocusPx(f)));
    const error = median(fitted.map((f) => f.fitted?.focusErrorPx ?? 1)) / Math.sqrt(fitted.length);
    const air = median(fitted.map((f) => f.fitted?.seeingPx ?? 1));
    const softer = softeningPercent(offset, air);
    const ratio = median(facts.map(shapeRatio).filter(Number.isFinite));
    // Witnesses: stars lost their wings (against the sharp frames of the night), are wider, and the fitted focus is off.
    const shape = calm.ratio === null || !Number.isFinite(ratio) ? 0 : Math.log(calm.ratio / ratio);
    const width = median(facts.map((f) => f.frame.fwhm.px ?? NaN).filter(Number.isFinite)) / calm.width;
    // A steady drift of the run they belong to makes frames soft too: then they are no offset.
    const drift = drifts
      .filter(({ files }) => files.has(facts[0].file))
      .reduce<RunDrift | null>(
        (a, b) => (a === null || b.drift.significance > a.significance ? b.drift : a),
        null,
      );
    const drifting =
      drift === null
        ? 0
        : bounded(1.3 * (drift.significance - 3.2), 4) - bounded(Math.max(0, drift.blockBetter), 5);
    const expected = Math.max(
      0.01,
      -DEFOCUS_SLOPE * facts[0].shapeWitness * Math.log(Math.max(1.001, width)),
    );
    const whole = facts.length > 0.8 * night.facts.length;
    // Half-flux diameters of colour mosaics and of few stars are noisy: the witness counts as far as its error allows.
    const doubt = Math.hypot(0.006, median(facts.map((f) => f.widthRatioError)) / Math.sqrt(facts.length));
    const logOdds = whole
      ? // Nothing to compare with: the shape of the stars itself must be that of discs, or the pattern over the field must show it.
        bounded((0.5 * (0.97 - ratio)) / Math.max(0.02, doubt), 4) +
        bounded(0.8 * (offset / Math.max(error, 0.05 * air) - 8), 2) -
        1.5
      : bounded((1.2 * (shape - 0.5 * expected)) / doubt, 3.5) +
        bounded(0.5 * (offset / Math.max(error, 0.1 * air) - 3), 2) +
        bounded(12 * (width - 1.1), 2) -
        // One frame alone proves little.
        (facts.length < 2 ? 1.5 : 0.5);
    const steady = logistic(2.5 - Math.max(0, drifting) * 1.3);
    // The fit cannot claim more than the stars have widened; where it is silent, the part that has the shape of defocus counts.
    const widened = 100 * Math.max(0, width - 1);
    const shaped = widened * Math.min(1, Math.max(0, shape / expected));
    const felt = whole ? softer : Math.max(shaped, offset > 3 * error ? Math.min(softer, widened + 2) : 0);
    const large = logistic(4 * Math.log(Math.max(0.1, felt) / MATTERS_PERCENT));
    // A filter whose stars are wider whenever it is in the beam speaks by that alone; seeing colours by no more than a few per cent.
    const step =
      steps.find((s) => isFilter(facts, night) && s.filter === facts[0].frame.header.filter) ?? null;
    const byStep =
      logistic(filterStepLogOdds(step) + bounded(defocusLogOdds(shapeShare), 1.5)) *
      logistic(4 * Math.log(Math.max(0.1, 100 * ((step?.times ?? 1) - COLOUR)) / MATTERS_PERCENT));
    const confidence = Math.max(logistic(logOdds) * steady * large, byStep);
    const optics = fitted[0].optics;
    const micron = optics?.detail.micronPerDiscPx ?? null;
    result.push({
      facts,
      filter: facts[0].frame.header.filter,
      confidence,
      offsetMicron: micron === null ? null : offset * micron,
      wholeNight: whole,
      softerPercent: felt,
      evidence: [
        { what: 'FWHM against the sharp frames of the night', value: width, unit: 'times' },
        {
          what: 'half-flux diameter over FWHM (1.14 in pure seeing, under 0.9 for discs)',
          value: ratio,
          unit: '',
        },
        ...(micron === null
          ? [{ what: 'blur disc of the defocus', value: offset, unit: 'px', error }]
          : [{ what: 'defocus', value: offset * micron, unit: 'um', error: error * micron }]),
        { what: 'softening by it', value: softer, unit: '%', limit: MATTERS_PERCENT },
        { what: 'frames concerned', value: facts.length, unit: 'frames' },
      ],
    });
  }
  return result.filter((s) => s.confidence > 0.1);
}

function isFilter(facts: readonly FrameFacts[], night: NightSeries): boolean {
  const { filter } = facts[0].frame.header;
  const same = night.facts.filter(
    (f) => f.frame.header.filter === filter && f.softness !== null && !f.disturbed,
  );
  return same.length === facts.length && facts.every((f) => f.frame.header.filter === filter);
}

/** Whole filters, rests of the focuser, and neighbouring frames that are clearly softer than the rest. */
function candidates(night: NightSeries): (readonly FrameFacts[])[] {
  const usable = night.facts.filter((f) => f.softness !== null && !f.disturbed);
  const list: (readonly FrameFacts[])[] = [];
  const filters = new Set(usable.map((f) => f.frame.header.filter));
  if (filters.size > 1)
    for (const filter of filters) list.push(usable.filter((f) => f.frame.header.filter === filter));
  list.push(...focusRuns({ ...night, facts: usable }).map((run) => run.facts));
  let soft: FrameFacts[] = [];
  for (const fact of usable) {
    if ((fact.softness ?? 1) > 1.08) soft.push(fact);
    else {
      if (soft.length >= 2) list.push(soft);
      soft = [];
    }
  }
  if (soft.length >= 2) list.push(soft);
  const seen = new Set<string>();
  return list.filter((facts) => {
    const key = facts.map((f) => f.file).join('|');
    if (facts.length === 0 || seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

/**
 * How far the sensor lies outside the range of best focus, blur disc in pixels: over a curved field the middle and the mean of the
 * field differ, and a sensor between them is in focus as well as can be.
 */
function offFocusPx({ fitted }: FrameFacts): number {
  if (fitted === null) return 0;
  const { focusPx, middleFocusPx } = fitted;
  return focusPx * middleFocusPx <= 0 ? 0 : Math.min(Math.abs(focusPx), Math.abs(middleFocusPx));
}

function shapeRatio(fact: FrameFacts): number {
  const { fwhm, hfd } = fact.frame;
  return fwhm.px === null || hfd.px === null ? NaN : hfd.px / fwhm.px;
}

/** Width and shape of the sharp frames of the night, filters together. */
function sharpest(night: NightSeries): { width: number; ratio: number | null } {
  const usable = night.facts.filter(
    (f) => f.frame.fwhm.px !== null && (f.trail === null || f.trail.strength < 0.2),
  );
  const widths = usable.map((f) => f.frame.fwhm.px ?? 0).sort((a, b) => a - b);
  const width = widths[Math.floor(widths.length / 4)] ?? NaN;
  const ratios = usable
    .filter((f) => (f.frame.fwhm.px ?? 0) <= 1.03 * width)
    .map(shapeRatio)
    .filter(Number.isFinite);
  return { width, ratio: ratios.length > 0 ? median(ratios) : null };
}

function adviceOf(stretch: Stretch): string {
  const { scale, header } = stretch.facts[0].frame;
  const ratio = scale?.focalRatio ?? header.focalRatio;
  const zone =
    ratio === null
      ? ''
      : ` The critical focus zone at f/${ratio.toFixed(1)} is ${criticalFocusZoneMicron(0.55, ratio).toFixed(0)} um.`;
  const amount = stretch.offsetMicron === null ? '' : ` by about ${stretch.offsetMicron.toFixed(0)} um`;
  if (stretch.wholeNight) {
    return `The whole night was out of focus${amount}: refocus on a star of middle brightness before the first frame, and check the result on a test frame.${zone}`;
  }
  const which =
    stretch.filter === null ? 'These frames were' : `Frames through filter ${stretch.filter} were`;
  return `${which} out of focus${amount}: refocus after each change of filter, or store an offset for it, and check that the focuser holds its place under load.${zone}`;
}
