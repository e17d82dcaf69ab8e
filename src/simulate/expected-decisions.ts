import type { LoneFrameTruth } from './frame-truth.js';
import type { FrameTruth } from './truth-types.js';

/** The default limits of the product's decisions, as its documentation states them. */
const LIMITS = { fwhmFactor: 1.25, elongation: 1.35, transparency: 0.7, weight: 0.3 };

/**
 * Compare the frames of a night: transparency against the clearest frame of the filter, weight against the best one, and the decision
 * that the default limits would give. The reference of FWHM and of weight is the median of the better half of the filter's frames.
 */
export function compareFrames(frames: readonly LoneFrameTruth[]): readonly FrameTruth[] {
  const filters = new Map<string, LoneFrameTruth[]>();
  for (const frame of frames) filters.set(frame.filter, [...(filters.get(frame.filter) ?? []), frame]);
  return frames.map((frame) => {
    const group = filters.get(frame.filter) ?? [frame];
    const clearest = Math.max(...group.map((other) => other.transparency));
    const worth = (other: LoneFrameTruth): number =>
      (other.transparency / clearest / (other.background.noise * other.fwhm.px)) ** 2;
    const reference = betterHalf(group.map((other) => other.fwhm.px));
    const usualWorth = -betterHalf(group.map((other) => -worth(other)));
    const transparency = frame.transparency / clearest;
    const tests: readonly (readonly [string, number, number])[] = [
      ['fwhm', frame.fwhm.px, LIMITS.fwhmFactor * reference],
      ['elongation', frame.elongation, LIMITS.elongation],
      ['transparency', LIMITS.transparency, transparency],
      ['weight', LIMITS.weight * usualWorth, worth(frame)],
    ];
    const reasons = tests.filter(([, value, limit]) => value > limit).map(([code]) => code);
    // A rejected frame is as safe as its clearest reason, a kept one as its closest limit.
    const distances = tests.map(([, value, limit]) => value / limit - 1);
    const margin = reasons.length > 0 ? Math.max(...distances) : Math.min(...distances.map((d) => -d));
    return {
      ...frame,
      transparency,
      weight: worth(frame) / Math.max(...group.map(worth)),
      expected: { decision: reasons.length > 0 ? 'reject' : 'keep', reasons, margin },
    };
  });
}

/** Median of the smaller half. */
function betterHalf(values: readonly number[]): number {
  const half = [...values].sort((a, b) => a - b).slice(0, Math.ceil(values.length / 2));
  return (half[(half.length - 1) >> 1] + half[half.length >> 1]) / 2;
}
