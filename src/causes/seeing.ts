import { quantile } from 'simple-statistics';
import { seeingAtZenith } from '../optics/index.js';
import { logistic } from './confidence.js';
import { frameAirmass } from './extinction.js';
import { defocusEvidence, defocusLogOdds, defocusShare } from './focus-runs.js';
import { isDim, nightByNight, type FrameFacts, type NightSeries } from './night-series.js';
import { courseAt, steadyDriftLogOdds, steadyRise } from './steady-rise.js';
import { nightConfidence } from './trail-answer.js';
import type { Cause, Evidence } from './types.js';

const FEWEST_FRAMES = 3;
/** Growth of the seeing over the night's better part at which half of all observers would speak of bad air. */
const MATTERS = 0.21;

export const seeing: Cause = {
  meta: {
    code: 'seeing',
    title: 'The air was unsteady',
    whyItMatters: 'It limits the sharpness of frames whatever the rig does: nothing is wrong with the rig.',
    looksLike:
      'Focus drift widens the stars steadily with the temperature, changes the pattern over the field, and lowers the ratio of half-flux diameter to FWHM; seeing does none of these.',
    whatToDo:
      'Nothing on the rig. Wait, shoot higher in the sky, avoid roofs and walls, and let the optics cool.',
    references: [
      'Kolmogorov seeing: FWHM = 0.976 lambda/r0, grows as airmass^0.6 (Fried 1966; Roddier 1981)',
    ],
  },
  needs: (night) =>
    night.facts.filter((f) => f.softness !== null).length >= FEWEST_FRAMES
      ? null
      : `fewer than ${FEWEST_FRAMES} measurable frames to compare`,
  judge: (night) => {
    const frames = seeingFrames(night);
    const confidence = nightConfidence(frames);
    const limit = sharpnessText(night);
    if (confidence < 0.2) return { answer: 'clear', why: `the seeing kept steady; ${limit}` };
    return {
      answer: 'found',
      confidence,
      effect: frames.reduce((most, f) => (f.confidence > 0.2 ? Math.max(most, f.ratio - 1) : most), 0),
      frames: frames.filter((f) => f.confidence > 0.2),
      evidence: evidenceOf(night, frames),
      advice: `Nothing is wrong with the rig: the air was unsteady in these frames; ${limit}. Wait for steadier air, shoot higher in the sky, and keep away from warm roofs and walls.`,
    };
  },
};

/** What the seeing alone made of a frame, relative to the better part of its group. */
function seeingFrames(night: NightSeries): { file: string; confidence: number; ratio: number }[] {
  const result: { file: string; confidence: number; ratio: number }[] = [];
  for (const group of new Set(night.facts.map((f) => f.frame.group))) {
    const members = night.facts.filter((f) => f.frame.group === group && f.softness !== null);
    if (members.length < FEWEST_FRAMES) continue;
    // Neither trails nor defocus may pass for seeing: the joint fit takes both out of the width, the shape of the stars is the second witness.
    const share = defocusShare(members);
    const rig = logistic(defocusLogOdds(share));
    // What rises steadily is focus rather than air, as far as it is believed.
    const widths = nightByNight(members).flatMap((run) => {
      const rise = steadyRise(run);
      const believed = logistic(steadyDriftLogOdds(rise, share));
      // Either account of the width without its defocus, not one after the other: the drift would be taken off twice.
      return run.map((f) =>
        Math.min(airWidth(f), atZenith(f, f.frame.fwhm.px) * Math.exp(-believed * courseAt(rise, f))),
      );
    });
    const calm = quantile(widths, 0.25);
    members.forEach((fact, k) => {
      const ratio = widths[k] / calm;
      // What shakes the mount widens the stars across the trail too.
      const shaken = Math.min(0.9, 4 * Math.max(0, (fact.trail?.strength ?? 0) - 0.06));
      const air = (1 - rig * 0.95) * (1 - shaken);
      result.push({
        file: fact.file,
        confidence: air * logistic(5 * Math.log(Math.max(1e-3, ratio - 1) / MATTERS)),
        ratio,
      });
    });
  }
  return result;
}

/** Width that the air alone gave a frame, pixels, brought to the zenith; the whole width when the fit could not split it. */
function airWidth(fact: FrameFacts): number {
  // A film of dew or cloud spreads a halo that the moments take for seeing: there the width at half maximum speaks.
  return atZenith(
    fact,
    isDim(fact.frame) ? fact.frame.fwhm.px : (fact.fitted?.seeingPx ?? fact.frame.fwhm.px),
  );
}

/** A width of a frame's stars brought to the zenith, pixels; NaN for none. */
function atZenith(fact: FrameFacts, width: number | null): number {
  const air = frameAirmass(fact.frame);
  return width === null ? NaN : air === null ? width : seeingAtZenith(width, air);
}

function evidenceOf(
  night: NightSeries,
  frames: readonly { confidence: number; ratio: number }[],
): Evidence[] {
  const worst = Math.max(...frames.map((f) => f.ratio));
  const share = defocusShare(night.facts);
  const evidence: Evidence[] = [
    {
      what: 'worst seeing over that of the better quarter of the night',
      value: worst,
      unit: 'times',
      limit: 1 + MATTERS,
    },
    {
      what: 'frames with unsteady air',
      value: frames.filter((f) => f.confidence > 0.5).length,
      unit: 'frames',
    },
  ];
  if (share !== null) evidence.push(defocusEvidence(share));
  const zenith = zenithSeeing(night);
  if (zenith !== null)
    evidence.push({ what: 'median seeing brought to the zenith', value: zenith, unit: 'arcsec' });
  return evidence;
}

function zenithSeeing(night: NightSeries): number | null {
  const values = night.facts.flatMap((f) => {
    const scale = f.frame.scale?.arcsecPerPx;
    const air = frameAirmass(f.frame);
    return f.fitted === null || scale === undefined || air === null
      ? []
      : [seeingAtZenith(f.fitted.seeingPx * scale, air)];
  });
  return values.length === 0 ? null : quantile(values, 0.5);
}

/** What limits the sharpness of the night, in words. */
export function sharpnessText(night: NightSeries): string {
  const budgets = night.facts.flatMap((f) => (f.frame.blur === null ? [] : [f.frame.blur]));
  const parts = (['seeing', 'focus', 'tilt', 'curvature', 'coma', 'tracking'] as const).flatMap((name) => {
    const values = budgets.flatMap((b) => b[name] ?? []);
    return values.length === 0 ? [] : [{ name, value: quantile(values, 0.5) }];
  });
  if (parts.length === 0) return 'what limits the sharpness could not be split up';
  const most = parts.reduce((a, b) => (b.value > a.value ? b : a));
  return `what limits the sharpness is ${most.name} (${most.value.toFixed(1)} ${budgets[0].unit} FWHM)`;
}
