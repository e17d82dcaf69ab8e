import { findCauses } from '../../src/causes/index.js';
import type { CauseCode, CauseFinding } from '../../src/causes/types.js';
import { normal, seeded } from '../field/made-stars.js';
import { madeNight, type MadeFrame, type MadeNight } from './made-night.js';

/** Ordinary frames: seeing and focus scatter a little, nothing is wrong. */
export function calmFrames(
  count: number,
  more: (k: number) => MadeFrame = () => ({}),
  seed = 11,
): MadeFrame[] {
  const random = seeded(seed);
  return Array.from({ length: count }, (_, k) => ({
    seeingArcsec: 2.6 * Math.exp(0.04 * normal(random)),
    focusMicron: 3 * normal(random),
    ...more(k),
  }));
}

/** What one cause answers about a made night. */
export function judge(code: CauseCode, night: MadeNight): CauseFinding {
  const finding = findCauses(madeNight(night)).find((f) => f.code === code);
  if (!finding) throw new Error(`no finding for ${code}`);
  return finding;
}
