import { airmass } from '../optics/index.js';
import { targetAltitudeDeg } from '../optics/sky/index.js';
import type { JudgedFrame } from '../night/types.js';
import type { FrameFacts } from './night-series.js';

/** Loss of light of one frame against the group's best, what the airmass accounts for taken out. */
export interface Loss {
  readonly fact: FrameFacts;
  readonly transparency: number;
  readonly airmass: number | null;
  /** Transparency over what the frame's airmass allows (a clear sky gives 1), at most 1.1. */
  readonly corrected: number;
}

/** Extinction that is granted to a clear sky, magnitudes per airmass: upper end of common practice (0.1 to 0.3 in broad bands). */
const GRANTED_MAG = 0.3;
/** Least transparency of a clear sky at an airmass, against the zenith. */
export function clearestLoss(airmass: number | null): number {
  return 10 ** (-0.4 * GRANTED_MAG * Math.max(0, (airmass ?? 1) - 1));
}

/** What a clear sky takes for certain. */
const CERTAIN_MAG = 0.1;

/** Airmass of a frame: header, else from its altitude, else from place, time and target; null when none is there. */
export function frameAirmass({ header }: JudgedFrame): number | null {
  if (header.airmass !== null && header.airmass >= 1) return header.airmass;
  if (header.altitudeDeg !== null) return finite(airmass(header.altitudeDeg));
  const { dateObs, latitudeDeg, longitudeDeg, raDeg, decDeg } = header;
  if (dateObs === null || latitudeDeg === null || longitudeDeg === null || raDeg === null || decDeg === null)
    return null;
  const site = { latitudeDeg, longitudeDeg, elevationMetre: header.elevationMetre ?? 0 };
  return finite(airmass(targetAltitudeDeg(dateObs, site, { raDeg, decDeg })));
}

/**
 * Losses of light of the frames that have a transparency. A frame's loss counts only beyond what 0.3 mag per airmass against the
 * group's highest frame would take; where the loss is smaller than that, only the certain 0.1 mag is taken out.
 */
export function losses(facts: readonly FrameFacts[]): Loss[] {
  const lowest = new Map<string, number>();
  for (const fact of facts) {
    const x = frameAirmass(fact.frame);
    if (x === null) continue;
    lowest.set(fact.frame.group, Math.min(lowest.get(fact.frame.group) ?? Infinity, x));
  }
  return facts.flatMap((fact) => {
    const transparency = fact.frame.transparency;
    if (transparency === null) return [];
    const x = frameAirmass(fact.frame);
    const more = x === null ? 0 : x - (lowest.get(fact.frame.group) ?? x);
    const granted = 10 ** (-0.4 * GRANTED_MAG * more);
    const certain = 10 ** (-0.4 * CERTAIN_MAG * more);
    const corrected =
      transparency >= granted ? Math.min(1.1, Math.max(1, transparency / certain)) : transparency / granted;
    return [{ fact, transparency, airmass: x, corrected }];
  });
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
