import { robustLinearFit } from '../field/index.js';
import { bounded } from './confidence.js';
import type { FrameFacts, NightSeries } from './night-series.js';
import type { Evidence } from './types.js';

/** Frames of one group with the focuser at rest, or moved by known steps. */
export interface FocusRun {
  readonly facts: readonly FrameFacts[];
}

/** After a longer pause (another night, a long cloud) somebody may have touched the focuser by hand. */
const LONGEST_PAUSE_HOURS = 4;

/**
 * Group the night into runs in which focus could only drift: frames of one group with the focuser at rest (a changed position starts a
 * new run), and whole groups where the focuser's moves are known in micrometres.
 */
export function focusRuns(night: NightSeries): FocusRun[] {
  const runs: FrameFacts[][] = [];
  const open = new Map<string, { position: number | null; facts: FrameFacts[] }>();
  const whole = new Map<string, FrameFacts[]>();
  for (const fact of night.facts) {
    if (fact.softness === null) continue;
    const { focuserPosition: position, focuserMicronPerStep: step } = fact.frame.header;
    if (position !== null && step !== null && (fact.optics?.detail.micronPerDiscPx ?? null) !== null) {
      const list = whole.get(fact.frame.group);
      if (list) list.push(fact);
      else whole.set(fact.frame.group, [fact]);
    }
    const current = open.get(fact.frame.group);
    const last = current?.facts[current.facts.length - 1].hours ?? null;
    const pause = last === null || fact.hours === null ? 0 : fact.hours - last;
    if (current && current.position === position && pause < LONGEST_PAUSE_HOURS) {
      current.facts.push(fact);
      continue;
    }
    const facts = [fact];
    runs.push(facts);
    open.set(fact.frame.group, { position, facts });
  }
  for (const facts of whole.values()) if (!runs.some((run) => run.length === facts.length)) runs.push(facts);
  return runs.map((facts) => ({ facts }));
}

/** Which part of a change of star size is defocus: 1 all, 0 none; from the shape of the stars alone. */
export interface DefocusShare {
  readonly share: number;
  readonly error: number;
}

/** Fall of ln(half-flux diameter / FWHM) per rise of ln FWHM when defocus alone widens a Kolmogorov star (see night/blur-response). */
export const DEFOCUS_SLOPE = -0.29;

/** A smaller change of ln(width) than this tells nothing. */
const LEAST_SPREAD = 0.03;

/**
 * Tell defocus from seeing by the shape of the stars: a disc has no wings, so half-flux diameter over FWHM falls as defocus widens
 * the stars, and stays when the seeing does. Trailed frames are left out. Null with fewer than four frames or no change of width.
 *
 * @param widening the widening in question, ln of the width's growth for each frame: where a course of focus is asked about, its own,
 *   which the seeing of the same frames does not dilute; by default the whole change of width
 */
export function defocusShare(
  facts: readonly FrameFacts[],
  widening: readonly number[] = facts.map((f) => Math.log(f.softness ?? 1)),
): DefocusShare | null {
  const at = facts.flatMap((f, k) =>
    f.softness !== null && f.widthRatio !== null && !f.disturbed && Number.isFinite(widening[k]) ? [k] : [],
  );
  if (at.length < 4) return null;
  const widths = at.map((k) => widening[k]);
  const spread = Math.max(...widths) - Math.min(...widths);
  if (spread < LEAST_SPREAD) return null;
  const fit = robustLinearFit(
    widths.map((w) => [1, w]),
    at.map((k) => Math.log(facts[k].widthRatio ?? 1)),
    at.map((k) => facts[k].widthRatioError),
  );
  if (!fit) return null;
  const slope = DEFOCUS_SLOPE * facts[at[0]].shapeWitness;
  return {
    share: fit.coefficients[1] / slope,
    // Undersampling and the profile of the seeing shift the slope itself a little.
    error: Math.hypot(Math.sqrt(fit.covariance[1][1]) / -slope, 0.15),
  };
}

/** More than all of the change cannot be defocus. The profile of the seeing shifts the share, but not to more than twice of what it is. */
const MOST_SHARE = 2;

/** Log-odds of defocus against seeing from that share (half of the change is the border); what is far more than all of it speaks for something else, a film of dew say. */
export function defocusLogOdds(share: DefocusShare | null): number {
  if (share === null) return 0;
  const excess = Math.max(0, share.share - MOST_SHARE);
  return bounded((1.5 * (share.share - 0.5 - 2.5 * excess)) / share.error, 4);
}

/** The share as evidence: a part, so between none and all, whatever noise makes of it. */
export function defocusEvidence(share: DefocusShare): Evidence {
  return {
    what: 'of the change of width, the part that looks like defocus rather than seeing (stars lose their wings)',
    value: 100 * Math.min(1, Math.max(0, share.share)),
    unit: '%',
    error: 100 * Math.min(1, share.error),
  };
}
