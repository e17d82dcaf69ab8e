import type { FrameAssessment } from '../field/types.js';
import { betterHalfMedian } from './better-half.js';
import { decide, type Decision } from './decide.js';
import { frameNotes } from './frame-notes.js';
import { groupByField, groupFrames, sortByTime, type FrameGroup } from './group-frames.js';
import { keepBestShare } from './keep-best.js';
import { nightsOf } from './nights-of.js';
import { registerFields } from './register-fields.js';
import { shareScales } from './shared-scale.js';
import { stackWeights } from './stack-weight.js';
import { measureTransparency } from './transparency.js';
import type { DecisionLimits, GroupSummary, JudgedFrame, Registration } from './types.js';

/** A night with every frame decided upon. */
export interface JudgedNight {
  /** In order of time. */
  readonly frames: JudgedFrame[];
  readonly groups: GroupSummary[];
  readonly warnings: string[];
}

/**
 * Groups the frames of a night, registers them by their stars, measures transparency and weight, and decides by the limits.
 *
 * The reference of a group is the median of its better half, figure by figure. Frames of one target and camera are registered together,
 * whatever their filter and exposure; registration maps on the best-populated frame of that set, transparency compares frames of one filter and gain.
 * `blur` and `causes` are left empty for the steps that follow.
 */
export function judgeNight(frames: readonly FrameAssessment[], limits: DecisionLimits): JudgedNight {
  const scaled = shareScales(frames);
  const ordered = sortByTime(scaled.frames);
  const registration = new Map<string, Registration>();
  const transparency = new Map<string, number>();
  const warnings: string[] = [...scaled.warnings];
  for (const set of groupByField(ordered)) {
    const fields = registerFields(set);
    for (const field of fields) {
      for (const registered of field.frames) registration.set(registered.frame.file, registered.registration);
      for (const [file, value] of measureTransparency(field)) transparency.set(file, value);
    }
    warnings.push(
      ...fieldWarnings(
        set,
        fields.map((field) => field.frames.length),
      ),
    );
  }

  const judged = new Map<string, JudgedFrame>();
  const groups: GroupSummary[] = [];
  for (const group of groupFrames(ordered)) {
    const result = judgeGroup(group, registration, transparency, limits);
    for (const frame of result.frames) judged.set(frame.file, frame);
    groups.push(result.summary);
    warnings.push(...groupWarnings(result.summary, result.frames));
  }
  warnings.push(...singleWarnings(groups), ...nightsWarnings(ordered), ...frameNotes(ordered));
  return { frames: ordered.map((frame) => judged.get(frame.file)!), groups, warnings };
}

function judgeGroup(
  group: FrameGroup,
  registration: ReadonlyMap<string, Registration>,
  transparency: ReadonlyMap<string, number>,
  limits: DecisionLimits,
): { frames: JudgedFrame[]; summary: GroupSummary } {
  const { frames, name } = group;
  const weights = stackWeights(frames, transparency);
  const reference = {
    frames: frames.length,
    fwhmPx: betterHalfMedian(frames.map((frame) => (tellsSomething(frame, limits) ? frame.fwhm.px : null))),
    hfdPx: betterHalfMedian(frames.map((frame) => (tellsSomething(frame, limits) ? frame.hfd.px : null))),
    weight: betterHalfMedian(weights, 'larger'),
  };
  let decisions: Decision[] = frames.map((frame, i) =>
    decide(
      frame,
      { transparency: transparency.get(frame.file) ?? null, weight: weights[i] ?? null },
      reference,
      limits,
    ),
  );
  if (limits.keepBest !== null) decisions = keepBestShare(decisions, weights, limits.keepBest);

  const judged = frames.map((frame, i): JudgedFrame => {
    const own = {
      registration: registration.get(frame.file) ?? null,
      transparency: transparency.get(frame.file) ?? null,
      weight: weights[i] ?? null,
    };
    return {
      // One property before the spread gives all frames one hidden class; it is the fit of the night that fills it.
      blur: null,
      ...frame,
      ...own,
      group: name,
      decision: decisions[i]!.decision,
      reasons: decisions[i]!.reasons,
      causes: [],
      unmeasured: { ...frame.unmeasured, ...whyMissing(frame, own, frames.length) },
    };
  });
  return { frames: judged, summary: summarise(name, judged, reference.fwhmPx) };
}

/** A frame of three cosmic rays must not set the group's reference. */
function tellsSomething(frame: FrameAssessment, limits: DecisionLimits): boolean {
  return frame.stars.measured >= limits.minStars;
}

function summarise(name: string, frames: readonly JudgedFrame[], fwhmPx: number | null): GroupSummary {
  return {
    name,
    frames: frames.length,
    kept: frames.filter((frame) => frame.decision === 'keep').length,
    reference: {
      fwhmPx,
      fwhmArcsec: betterHalfMedian(frames.map((frame) => frame.fwhm.arcsec)),
      elongation: betterHalfMedian(frames.map((frame) => frame.elongation)),
      level: betterHalfMedian(frames.map((frame) => frame.background.level)),
      noise: betterHalfMedian(frames.map((frame) => frame.background.noise)),
    },
  };
}

function whyMissing(
  frame: FrameAssessment,
  own: Pick<JudgedFrame, 'registration' | 'transparency' | 'weight'>,
  groupSize: number,
): Record<string, string> {
  const why: Record<string, string> = {};
  if (own.registration === null) {
    why['registration'] =
      frame.registrationStars.length < 12
        ? 'fewer than four stars to match'
        : 'its stars match those of no other frame of this target and camera';
  }
  if (own.transparency === null) {
    why['transparency'] =
      groupSize === 1 || own.registration !== null
        ? frame.header.exposureSeconds === null
          ? 'the exposure time is unknown'
          : 'no other frame of this filter and gain to compare its stars with'
        : 'not matched with the other frames';
  }
  if (own.weight === null) {
    why['weight'] =
      own.transparency === null ? 'the transparency is unknown' : 'noise or star width could not be measured';
  }
  return why;
}

function fieldWarnings(set: readonly FrameAssessment[], fieldSizes: readonly number[]): string[] {
  const target = set[0]?.header.object ?? 'the unnamed target';
  const warnings: string[] = [];
  if (fieldSizes.length > 1) {
    warnings.push(
      `The frames of ${target} show ${fieldSizes.length} different star fields (${fieldSizes.join(', ')} frames):` +
        ' transparency is compared within each.',
    );
  }
  const unmatched = set.length - fieldSizes.reduce((sum, size) => sum + size, 0);
  if (unmatched > 0 && set.length > 1) {
    warnings.push(
      `${unmatched} of ${set.length} frames of ${target} could not be matched by their stars: no transparency for ${unmatched === 1 ? 'it' : 'them'}.`,
    );
  }
  return warnings;
}

function singleWarnings(groups: readonly GroupSummary[]): string[] {
  const single = groups.filter((group) => group.frames === 1);
  if (single.length === 0) return [];
  const names = single.length <= 3 ? single.map((group) => group.name).join('; ') : `${single.length} groups`;
  return [
    `${names}: a single frame, judged by its elongation, its number of stars and any limit in arcseconds; there is no other to compare its FWHM and transparency with.`,
  ];
}

function nightsWarnings(frames: readonly FrameAssessment[]): string[] {
  const nights = nightsOf(frames);
  if (nights.length < 2) return [];
  return [
    `The frames come from ${nights.length} nights (${nights[0]} to ${nights.at(-1)}): they are compared as one set.` +
      ' What runs through a night (focus drift, dew, a sinking target) is told best from each night by itself.',
  ];
}

function groupWarnings(group: GroupSummary, frames: readonly JudgedFrame[]): string[] {
  if (group.kept === 0 && group.frames > 1) {
    const codes = new Map<string, number>();
    for (const frame of frames) {
      const code = frame.reasons[0]?.code ?? '';
      codes.set(code, (codes.get(code) ?? 0) + 1);
    }
    const [code, count] = [...codes].sort((a, b) => b[1] - a[1])[0] ?? ['', 0];
    return [
      `${group.name}: no frame is within the limits (${count} of ${group.frames} fail first by ${code}); the fault is in the whole set, see the causes, or widen that limit to rank them.`,
    ];
  }
  return [];
}
