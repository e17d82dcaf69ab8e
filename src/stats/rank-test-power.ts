import { normalQuantile } from './normal-distribution.js';

/**
 * How many values the second sample needs in all, the first staying as it is, for a two-sided Mann-Whitney test to show the
 * difference; Noether 1987, JASA 82, 645, solved for unequal sizes with 1/n + 1/m.
 *
 * `superiority`: chance that a value of the second sample exceeds one of the first; `firstCount`: values in the first sample.
 * Null when no number would do: no difference (0.5), or a first sample too small.
 */
export function secondSampleForPower(
  superiority: number,
  firstCount: number,
  options: { readonly alpha?: number; readonly power?: number } = {},
): number | null {
  const z = normalQuantile(1 - (options.alpha ?? 0.05) / 2) + normalQuantile(options.power ?? 0.8);
  // Complete separation in small samples is evidence of a large difference, not of an infinite one.
  const distance = Math.min(Math.abs(superiority - 0.5), 0.49);
  if (!(distance > 0)) return null;
  // Var(U / nm) is about (1/n + 1/m) / 12 near the null: need distance >= z * sqrt((1/n + 1/m) / 12).
  const inverse = (12 * distance * distance) / (z * z) - 1 / firstCount;
  return inverse > 0 ? Math.ceil(1 / inverse) : null;
}
