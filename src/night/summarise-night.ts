import { median } from 'simple-statistics';
import { repeatedFrames } from './repeated-frames.js';
import { unexplainedSoftness } from './unexplained-softness.js';
import type { GroupSummary, JudgedFrame } from './types.js';

/** The night in a few figures and sentences. */
export interface NightSummary {
  readonly frames: number;
  readonly kept: number;
  readonly rejected: number;
  readonly unreadable: number;
  readonly exposureSecondsKept: number;
  /** Median over the kept frames; null when none has a size in that unit. */
  readonly medianFwhmArcsec: number | null;
  readonly medianFwhmPx: number | null;
  /** Plain sentences, one a line. */
  readonly text: readonly string[];
}

const whatReasonsSay: Readonly<Record<string, string>> = {
  fwhm: 'soft stars (FWHM)',
  hfd: 'bloated stars (HFD)',
  elongation: 'drawn-out stars (elongation)',
  transparency: 'lost light (transparency)',
  weight: 'a noisy sky (weight)',
  'too-few-stars': 'too few stars to tell',
  background: 'a bright sky',
  'keep-best': 'a rank outside the best part',
  overruled: 'your own decision',
};

/** Sums up a judged night: counts, light kept, typical sharpness of what was kept, and why the others were not. */
export function summariseNight(
  frames: readonly JudgedFrame[],
  groups: readonly GroupSummary[],
  unreadable: number,
): NightSummary {
  const kept = frames.filter((frame) => frame.decision === 'keep');
  const exposureSecondsKept = kept.reduce((sum, frame) => sum + (frame.header.exposureSeconds ?? 0), 0);
  const figures = {
    frames: frames.length,
    kept: kept.length,
    rejected: frames.length - kept.length,
    unreadable,
    exposureSecondsKept,
    medianFwhmArcsec: medianOf(kept.map((frame) => frame.fwhm.arcsec)),
    medianFwhmPx: medianOf(kept.map((frame) => frame.fwhm.px)),
  };
  return { ...figures, text: sentences(figures, frames, groups) };
}

function sentences(
  figures: Omit<NightSummary, 'text'>,
  frames: readonly JudgedFrame[],
  groups: readonly GroupSummary[],
): string[] {
  const text: string[] = [];
  if (figures.frames === 0) text.push('No frame could be measured.');
  else if (figures.rejected === 0) {
    text.push(
      figures.frames === 1
        ? 'The one sub is worth keeping.'
        : `All ${figures.frames} subs are worth keeping.`,
    );
  } else {
    const light =
      figures.exposureSecondsKept > 0 ? ` (${minutes(figures.exposureSecondsKept)} of light)` : '';
    text.push(
      `${figures.kept} of ${figures.frames} subs are worth keeping${light}; ${figures.rejected} rejected.`,
    );
    text.push(`Rejected first for ${tally(frames)}.`);
  }
  const unjudged = groups.filter((group) => group.frames === 1).length;
  if (unjudged > 0 && figures.frames > 0) {
    text.push(
      `${unjudged === 1 ? 'One sub has' : `${unjudged} subs have`} no other of the same target, filter and exposure to compare with.`,
    );
  }
  if (figures.medianFwhmPx !== null) {
    const px = `${figures.medianFwhmPx.toFixed(2)} px`;
    text.push(
      `Median FWHM of the subs kept: ${figures.medianFwhmArcsec === null ? px : `${figures.medianFwhmArcsec.toFixed(2)} arcsec (${px})`}.`,
    );
  }
  text.push(...unexplainedSoftness(frames));
  text.push(...repeatedFrames(frames));
  if (figures.unreadable > 0) {
    text.push(`${figures.unreadable} file${figures.unreadable === 1 ? '' : 's'} could not be read.`);
  }
  return text;
}

function tally(frames: readonly JudgedFrame[]): string {
  const counts = new Map<string, number>();
  for (const frame of frames) {
    const code = frame.reasons[0]?.code;
    if (frame.decision === 'reject' && code !== undefined) counts.set(code, (counts.get(code) ?? 0) + 1);
  }
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([code, count]) => `${whatReasonsSay[code] ?? code}: ${count}`)
    .join(', ');
}

function minutes(seconds: number): string {
  const total = Math.round(seconds / 60);
  if (total < 1) return `${Math.round(seconds)} s`;
  const hours = Math.floor(total / 60);
  return hours === 0 ? `${total} min` : `${hours} h ${total % 60} min`;
}

function medianOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : median(known);
}
