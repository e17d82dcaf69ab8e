import { median, quantile } from 'simple-statistics';
import { clearestLoss, frameAirmass } from './extinction.js';
import { nightNumbers, shapeWitness } from '../night/index.js';
import { frameTrail, type FrameTrail } from './frame-trail.js';
import { shapeScatter } from './shape-scatter.js';
import type { FittedFrame, JudgedFrame, OpticalState } from '../night/types.js';
import type { NightFigures } from './types.js';

/** One frame with what several causes ask about it; worked out once. */
export interface FrameFacts {
  readonly frame: JudgedFrame;
  readonly file: string;
  /** Hours since the first frame of the night; null without a time. */
  readonly hours: number | null;
  /** Which night it belongs to, counted from 0: what runs through a night must not run across two. */
  readonly night: number;
  /** Tube or air temperature, degrees Celsius. */
  readonly temperatureC: number | null;
  /** FWHM over that of the sharp frames of its group (lower quartile); null when not measured. */
  readonly softness: number | null;
  /** Half-flux diameter over FWHM, relative to the sharp frames of the group: falls with defocus, stays with seeing, rises with a halo. */
  readonly widthRatio: number | null;
  readonly widthRatioError: number;
  /** How far the shape of the stars can witness defocus: 1 for the winged stars of real seeing, less without wings. */
  readonly shapeWitness: number;
  /** Trailed or shaken, or dimmed by dew or thick cloud: its shape says nothing about focus. */
  readonly disturbed: boolean;
  /** What the joint fit found for it. */
  readonly fitted: FittedFrame | null;
  readonly optics: OpticalState | null;
  /** Null where it could not be told. */
  readonly trail: FrameTrail | null;
}

/** The figures of a night with the facts that several causes share. */
export interface NightSeries extends NightFigures {
  readonly facts: readonly FrameFacts[];
}

/** What the joint fit found for a frame, and for its set-up. */
interface Fitted {
  readonly fitted: FittedFrame;
  readonly optics: OpticalState;
}

/** Derive what the causes share; frames keep their order, sorted by time where times are known. */
export function nightSeries(figures: NightFigures): NightSeries {
  const frames = [...figures.frames].sort((a, b) => (startOf(a) ?? 0) - (startOf(b) ?? 0));
  const first = frames.map(startOf).find((t) => t !== null) ?? null;
  const fitted = new Map<string, Fitted>();
  for (const optics of figures.optics)
    for (const frame of optics.detail.frames) fitted.set(frame.file, { fitted: frame, optics });
  const sharp = new Map<string, { width: number; ratio: number | null; scatter: number }>();
  for (const group of new Set(frames.map((frame) => frame.group))) {
    const members = frames.filter((frame) => frame.group === group);
    const widths = members.flatMap((frame) => (frame.fwhm.px === null ? [] : [frame.fwhm.px]));
    if (widths.length === 0) continue;
    const width = quantile(widths, 0.25);
    const ratios = members
      .filter((frame) => (frame.fwhm.px ?? Infinity) <= 1.03 * width && (frame.elongation ?? 1) < 1.25)
      .flatMap((frame) => ratioOf(frame) ?? []);
    sharp.set(group, {
      width,
      ratio: ratios.length > 0 ? median(ratios) : null,
      scatter: groupScatter(members, fitted),
    });
  }
  const nights = nightNumbers(frames);
  const facts = frames.map((frame, k): FrameFacts => {
    const own = fitted.get(frame.file) ?? null;
    const reference = sharp.get(frame.group) ?? null;
    const ratio = ratioOf(frame);
    const start = startOf(frame);
    return {
      frame,
      file: frame.file,
      hours: start === null || first === null ? null : (start - first) / 3.6e6,
      night: nights[k],
      temperatureC: frame.header.focuserTemperatureC ?? frame.header.ambientTemperatureC,
      softness: frame.fwhm.px === null || reference === null ? null : frame.fwhm.px / reference.width,
      widthRatio:
        ratio === null || reference?.ratio === undefined || reference.ratio === null
          ? null
          : ratio / reference.ratio,
      widthRatioError: Math.hypot(
        reference?.scatter ?? 0,
        (frame.hfd.standardError ?? 0) / (frame.hfd.px ?? 1),
        (frame.fwhm.standardError ?? 0) / (frame.fwhm.px ?? 1),
      ),
      shapeWitness: shapeWitness(reference?.ratio ?? 1.142),
      disturbed: isDisturbed(frame, own),
      fitted: own?.fitted ?? null,
      optics: own?.optics ?? null,
      trail: trailOf(frame, own),
    };
  });
  return { ...figures, frames, facts };
}

/** Scatter of the shape between neighbours of a group that are neither shaken nor dimmed. */
function groupScatter(members: readonly JudgedFrame[], fitted: ReadonlyMap<string, Fitted>): number {
  const calm = members.filter((frame) => !isDisturbed(frame, fitted.get(frame.file) ?? null));
  const logs = calm.flatMap((frame) => {
    const ratio = ratioOf(frame);
    return ratio === null ? [] : [Math.log(ratio)];
  });
  return shapeScatter(logs, median(members.map((frame) => frame.stars.measured)));
}

/** Trails stronger than this (see `FrameFacts.trail`) change the shape of the stars as much as defocus does. */
const SHAKEN = 0.09;
const DIM = 0.9;

function isDisturbed(frame: JudgedFrame, own: Fitted | null): boolean {
  const trail = trailOf(frame, own);
  return (trail !== null && trail.strength > SHAKEN && trail.strength > 4 * trail.error) || isDim(frame);
}

/** Dimmed beyond what its airmass takes: by cloud or dew, whose halo changes the shape of the stars. */
export function isDim(frame: JudgedFrame): boolean {
  return frame.transparency !== null && frame.transparency < DIM * clearestLoss(frameAirmass(frame));
}

/** The frames night by night, in order of time. */
export function nightByNight(facts: readonly FrameFacts[]): (readonly FrameFacts[])[] {
  return [...new Set(facts.map((f) => f.night))].map((night) => facts.filter((f) => f.night === night));
}

/** Start of exposure, milliseconds since 1970; null without one. */
export function startOf(frame: JudgedFrame): number | null {
  const time = frame.header.dateObs === null ? NaN : Date.parse(frame.header.dateObs);
  return Number.isFinite(time) ? time : null;
}

function ratioOf(frame: JudgedFrame): number | null {
  return frame.fwhm.px !== null && frame.hfd.px !== null && frame.fwhm.px > 0
    ? frame.hfd.px / frame.fwhm.px
    : null;
}

function trailOf(frame: JudgedFrame, own: Fitted | null): FrameTrail | null {
  return frameTrail(frame, own?.fitted ?? null, own?.optics ?? null);
}
