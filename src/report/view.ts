import type { NightAssessment } from '../causes/types.js';
import type { DecisionReason, JudgedFrame } from '../night/types.js';
import { withSigns } from './numbers.js';
import type { PaletteName } from './palette.js';

/** What the caller may choose about the page. */
export interface PageOptions {
  /** Palette shown first; without it the page follows the reader's system (light or dark). */
  readonly palette?: PaletteName;
  /** Put previews and star atlases into the page. */
  readonly pictures: boolean;
  /** Star atlas of each whole group, PNG by the group's name (see `groupAtlases`). */
  readonly groupAtlases?: ReadonlyMap<string, Uint8Array>;
}

/** A frame with its place in the page. */
export interface FrameView {
  readonly frame: JudgedFrame;
  /** Place in the order of time, from 0. */
  readonly index: number;
  /** Index of its group, for mark and colour. */
  readonly group: number;
  /** Start of exposure, ms since 1970; null without a usable time. */
  readonly timeMs: number | null;
  readonly kept: boolean;
}

/** What every panel draws from: the record, put in order once, nothing measured anew. */
export interface PageView {
  readonly night: NightAssessment;
  readonly pictures: boolean;
  readonly groupAtlases: ReadonlyMap<string, Uint8Array>;
  /** In order of time; frames without a time come last, in the record's order. */
  readonly frames: readonly FrameView[];
  readonly groupNames: readonly string[];
  /** Titles of the causes that were found, by code. */
  readonly causeTitles: ReadonlyMap<string, string>;
  /** Unit of sizes in the page: arcseconds when every measured frame has a plate scale. */
  readonly unit: 'arcsec' | 'px';
}

/** What a reason says, with the signs that people read. */
export function reasonWords({ message }: DecisionReason): string {
  return withSigns(message);
}

/** The reasons that speak for a decision: those of a rejected sub; a kept one has some only when a person overruled the limits. */
export function tellingReasons({ decision, reasons }: Judged): readonly DecisionReason[] {
  const isOverruled = reasons.some(({ code }) => code === 'overruled');
  if (decision === 'keep') return isOverruled ? reasons : [];
  // What a sub that the limits would keep came nearest to is no reason to reject it.
  return isOverruled ? reasons.filter(({ code }) => code === 'overruled') : reasons;
}

/** `tellingReasons` in words; an overruled one says by whom, and against what. */
export function tellingWords(frame: Judged): readonly string[] {
  const reasons = tellingReasons(frame);
  if (!reasons.some(({ code }) => code === 'overruled')) return reasons.map(reasonWords);
  const against = reasons.filter(({ code }) => code !== 'overruled').map(reasonWords);
  const own = frame.decision === 'keep' ? 'kept by you' : 'rejected by you';
  return [against.length > 0 ? `${own}, against: ${against.join('; ')}` : own];
}

type Judged = Pick<JudgedFrame, 'decision' | 'reasons'>;

/** Put a night in the order of the page. */
export function viewNight(night: NightAssessment, options: PageOptions): PageView {
  const names = [
    ...new Set([...night.groups.map((group) => group.name), ...night.frames.map((frame) => frame.group)]),
  ];
  const timed = night.frames.map((frame) => ({ frame, timeMs: timeOf(frame) }));
  // Array.sort is stable: frames of the same time, and those without, keep the record's order.
  timed.sort((a, b) => (a.timeMs ?? Infinity) - (b.timeMs ?? Infinity) || 0);
  return {
    night,
    pictures: options.pictures,
    groupAtlases: options.groupAtlases ?? new Map(),
    frames: timed.map(({ frame, timeMs }, index) => ({
      frame,
      index,
      group: names.indexOf(frame.group),
      timeMs,
      kept: frame.decision === 'keep',
    })),
    groupNames: names,
    causeTitles: new Map(
      night.night.causes.flatMap((cause) => (cause.answer === 'found' ? [[cause.code, cause.title]] : [])),
    ),
    unit: night.frames.every((frame) => frame.fwhm.px === null || frame.fwhm.arcsec !== null)
      ? 'arcsec'
      : 'px',
  };
}

function timeOf(frame: JudgedFrame): number | null {
  const time = frame.header.dateObs === null ? NaN : Date.parse(frame.header.dateObs);
  return Number.isFinite(time) ? time : null;
}

/** What a reason means at the telescope, for tallies and filters. */
export const reasonTitles: Readonly<Record<DecisionReason['code'], string>> = {
  fwhm: 'soft stars',
  hfd: 'bloated stars',
  elongation: 'drawn-out stars',
  transparency: 'cloud or haze',
  weight: 'too noisy to help',
  'too-few-stars': 'too few stars to tell',
  background: 'bright sky',
  'keep-best': 'outside the best part',
  overruled: 'your own decision',
};

/** A size of a frame in the page's unit. */
export function sizeIn(
  unit: PageView['unit'],
  size: { readonly px: number | null; readonly arcsec: number | null },
): number | null {
  return unit === 'arcsec' ? size.arcsec : size.px;
}

/** The sign of the page's unit behind a figure. */
export function unitSign(unit: PageView['unit']): string {
  return unit === 'arcsec' ? '″' : ' px';
}
