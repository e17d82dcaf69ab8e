import { criticalFocusZoneMicron, thermalShiftMicron } from '../optics/index.js';
import { BEFORE_TOUCHING } from './cautions.js';
import { bounded, logistic } from './confidence.js';
import { driftOfRun, type RunDrift } from './focus-trend.js';
import { defocusLogOdds, defocusShare, focusRuns } from './focus-runs.js';
import type { Cause, Evidence } from './types.js';

const FEWEST_FRAMES = 5;
/** Softening over a run, per cent of FWHM, at which half of all observers would refocus. */
const MATTERS_PERCENT = 6;
const GREEN_MICRON = 0.55;

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
    let best: { drift: RunDrift; confidence: number; share: ReturnType<typeof defocusShare> } | null = null;
    const frames: { file: string; confidence: number }[] = [];
    for (const run of runs) {
      const drift = driftOfRun(run.facts);
      if (!drift) continue;
      const share = defocusShare(run.facts);
      // A step (a bumped focuser, another filter) is no drift, however well a slope fits it.
      const logOdds =
        bounded(1.3 * (drift.significance - 3.2), 4) -
        bounded(Math.max(0, drift.blockBetter), 5) +
        // Stars that keep their wings while they widen speak against any defocus, however smoothly they widen.
        Math.min(0, defocusLogOdds(share));
      const large = logistic(4 * Math.log(Math.max(1e-3, drift.softeningPercent) / MATTERS_PERCENT));
      const confidence = logistic(logOdds) * large;
      if (best === null || confidence > best.confidence) best = { drift, confidence, share };
      for (const f of drift.frames) {
        if (f.softeningPercent < 2) continue;
        frames.push({
          file: f.file,
          confidence: logistic(logOdds) * logistic(4 * Math.log(f.softeningPercent / MATTERS_PERCENT)),
        });
      }
    }
    if (best === null) return { answer: 'cannot-tell', why: 'the runs are too short to show a trend' };
    if (best.confidence < 0.15) {
      return {
        answer: 'clear',
        why: `no trend of focus: it explains ${best.drift.softeningPercent.toFixed(1)} % of star width over the longest rest of the focuser`,
      };
    }
    return {
      answer: 'found',
      confidence: best.confidence,
      frames: frames.filter((f) => f.confidence > 0.2),
      evidence: evidenceOf(best.drift, best.share),
      advice: adviceOf(best.drift, focalRatioOf(best.drift), focalLengthOf(best.drift)),
    };
  },
};

function focalRatioOf(drift: RunDrift): number | null {
  const { scale, header } = drift.facts[0].frame;
  return scale?.focalRatio ?? header.focalRatio;
}

function focalLengthOf(drift: RunDrift): number | null {
  const { scale, header } = drift.facts[0].frame;
  return scale?.focalLengthMm ?? header.focalLengthMm;
}

function evidenceOf(drift: RunDrift, share: ReturnType<typeof defocusShare>): Evidence[] {
  const evidence: Evidence[] = [
    {
      what: 'stars widen from the sharpest to the last part of the run by',
      value: drift.softeningPercent,
      unit: '%',
      limit: MATTERS_PERCENT,
    },
    {
      what: 'a moving focus accounts for widths and shapes better than one at rest by',
      value: drift.significance,
      unit: 'standard errors',
      limit: 3.2,
    },
  ];
  if (share !== null)
    evidence.push({
      what: 'part of the change of width that has the shape of defocus',
      value: 100 * share.share,
      unit: '%',
      error: 100 * share.error,
    });
  if (drift.micronPerHour !== null)
    evidence.push({
      what: 'focus moves by',
      value: drift.micronPerHour.value,
      unit: 'um/h',
      error: drift.micronPerHour.error,
    });
  if (drift.micronPerKelvin !== null)
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

function adviceOf(drift: RunDrift, focalRatio: number | null, focalLengthMm: number | null): string {
  const sentences: string[] = [];
  const zone = focalRatio === null ? null : criticalFocusZoneMicron(GREEN_MICRON, focalRatio);
  const perKelvin = drift.micronPerKelvin;
  if (perKelvin !== null && zone !== null && Math.abs(perKelvin.value) > perKelvin.error) {
    const kelvin = zone / Math.abs(perKelvin.value);
    sentences.push(
      `Focus moves about ${Math.abs(perKelvin.value).toFixed(0)} um per kelvin; the critical focus zone at f/${focalRatio?.toFixed(1)} is ${zone.toFixed(0)} um, so refocus every ${kelvin.toFixed(1)} K`,
    );
    if (drift.kelvinPerHour !== null && Math.abs(drift.kelvinPerHour) > 0.05)
      sentences.push(
        `(about every ${Math.max(0.1, kelvin / Math.abs(drift.kelvinPerHour)).toFixed(1)} h at tonight's rate of cooling).`,
      );
    else sentences.push('.');
    if (focalLengthMm !== null) {
      const tube = thermalShiftMicron(focalLengthMm, 1);
      sentences.push(
        `An aluminium tube as long as the focal length would move ${tube.toFixed(0)} um per kelvin; much more than that points to a slipping draw tube rather than to temperature.`,
      );
    }
  } else if (drift.micronPerHour !== null && zone !== null && drift.micronPerHour.value !== 0) {
    const hours = zone / Math.abs(drift.micronPerHour.value);
    sentences.push(
      `Refocus about every ${hours.toFixed(1)} h: the critical focus zone is ${zone.toFixed(0)} um wide.`,
    );
  } else {
    const hours = drift.hoursToSoften;
    sentences.push(
      hours === null
        ? 'Refocus more often, at the least after every marked fall of temperature.'
        : `Refocus about every ${hours.toFixed(1)} h, before stars have widened by ${MATTERS_PERCENT} %.`,
    );
  }
  sentences.push(
    'If the drift goes on at constant temperature, look for a draw tube that slides under load: tighten its lock.',
    BEFORE_TOUCHING,
  );
  return sentences.join(' ').replace(' .', '.').replace('K (', 'K (');
}
