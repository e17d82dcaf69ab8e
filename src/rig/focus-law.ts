import { theilSen } from '../stats/index.js';
import type { FrameRow } from './frame-row.js';

type FocusRow = Pick<
  FrameRow,
  'focusTemperatureC' | 'focuserPosition' | 'focuserMicronPerStep' | 'focusOffsetMicron' | 'filter'
>;

/** How far best focus moves per degree. */
export interface FocusLaw {
  readonly micronPerKelvin: number;
  /** Standard error. */
  readonly error: number;
  readonly frames: number;
}

const FEWEST_FRAMES = 10;
const SMALLEST_RANGE_KELVIN = 2;

/**
 * The focus-temperature law of one night: Theil-Sen slope of the place of best focus (focuser position in micrometres plus the
 * fitted offset z of the image surface from the sensor) against the temperature of focuser or air.
 *
 * Only the filter with most frames counts (filters move focus). A night at one focuser position needs no step size.
 * Null with fewer than ten frames, less than 2 K of change, or positions that moved by steps of unknown size.
 */
export function focusLaw(rows: readonly FocusRow[]): FocusLaw | null {
  const usable = rows.filter((row) => row.focusOffsetMicron !== null && row.focusTemperatureC !== null);
  const counts = new Map<string | null, FocusRow[]>();
  for (const row of usable) counts.set(row.filter, [...(counts.get(row.filter) ?? []), row]);
  const best = [...counts.values()].sort((a, b) => b.length - a.length)[0] ?? [];
  const positions = new Set(best.map((row) => row.focuserPosition));
  if (
    positions.size > 1 &&
    best.some((row) => row.focuserPosition === null || row.focuserMicronPerStep === null)
  ) {
    return null;
  }
  const kelvin = best.map((row) => row.focusTemperatureC as number);
  if (best.length < FEWEST_FRAMES || Math.max(...kelvin) - Math.min(...kelvin) < SMALLEST_RANGE_KELVIN)
    return null;
  const micron = best.map(
    (row) => (row.focuserPosition ?? 0) * (row.focuserMicronPerStep ?? 0) + (row.focusOffsetMicron as number),
  );
  const line = theilSen(kelvin, micron);
  // The 95 % interval is 2 x 1.96 standard errors wide.
  return line && { micronPerKelvin: line.slope, error: (line.high - line.low) / 3.92, frames: best.length };
}
