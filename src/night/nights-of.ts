import type { FrameAssessment } from '../field/types.js';

/** No night has a pause as long as the day that parts it from the next. */
const dayHours = 8;

/**
 * The nights that frames were taken in, as the UTC dates on which each began (`2026-11-24`), in order of time: a pause of 8 hours parts two.
 *
 * @returns an empty list when no frame has a start time
 */
export function nightsOf(frames: readonly FrameAssessment[]): string[] {
  const starts = frames
    .flatMap(({ header }) => (header.dateObs === null ? [] : [Date.parse(header.dateObs)]))
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  return starts
    .filter((start, i) => i === 0 || start - starts[i - 1]! > dayHours * 3_600_000)
    .map((start) => new Date(start).toISOString().slice(0, 10));
}
