import { median } from 'simple-statistics';

/**
 * The reference of a group for a figure of which less is better: the median of the smaller half of its finite values
 * (the larger half with `larger`). Odd counts give the half one more; one value is its own reference; none gives null.
 */
export function betterHalfMedian(
  values: readonly (number | null)[],
  better: 'smaller' | 'larger' = 'smaller',
): number | null {
  const finite = values.filter((value): value is number => value !== null && Number.isFinite(value));
  if (finite.length === 0) return null;
  finite.sort((a, b) => (better === 'smaller' ? a - b : b - a));
  return median(finite.slice(0, Math.ceil(finite.length / 2)));
}
