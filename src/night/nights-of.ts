import type { FrameAssessment } from '../field/types.js';

/** No night has a pause as long as the day that parts it from the next. */
const dayHours = 8;

/**
 * The nights that frames were taken in, as the UTC dates on which each began (`2026-11-24`), in order of time: a pause of 8 hours parts two.
 *
 * @returns an empty list when no frame has a start time
 */
export function nightsOf(frames: readonly FrameAssessment[]): string[] {
  return nightStarts(frames).map((start) => new Date(start).toISOString().slice(0, 10));
}

/** For each frame the night it belongs to, counted from 0 in order of time (see `nightsOf`); 0 without a start time. */
export function nightNumbers(frames: readonly FrameAssessment[]): number[] {
  const starts = nightStarts(frames);
  return frames.map((frame) => {
    const time = startOf(frame);
    return Number.isFinite(time) ? starts.filter((start) => start <= time).length - 1 : 0;
  });
}

function nightStarts(frames: readonly FrameAssessment[]): number[] {
  const times = frames
    .map(startOf)
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  return times.filter((time, i) => i === 0 || time - times[i - 1]! > dayHours * 3_600_000);
}

function startOf({ header }: FrameAssessment): number {
  return header.dateObs === null ? NaN : Date.parse(header.dateObs);
}
