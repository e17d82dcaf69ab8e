import type { OpticalState } from '../night/types.js';
import type { FrameFacts, NightSeries } from './night-series.js';

/** A camera set-up with the frames that were fitted together. */
export interface SetupFacts {
  readonly optics: OpticalState;
  readonly facts: readonly FrameFacts[];
  /** Typical FWHM of its frames, pixels. */
  readonly fwhmPx: number;
}

/** The set-ups of the night, the one with most frames first. */
export function setups(night: NightSeries): SetupFacts[] {
  return night.optics
    .map((optics) => {
      const facts = night.facts.filter((f) => f.optics === optics);
      const widths = facts.flatMap((f) => f.frame.fwhm.px ?? []).sort((a, b) => a - b);
      return { optics, facts, fwhmPx: widths[Math.floor(widths.length / 2)] ?? NaN };
    })
    .filter((setup) => setup.facts.length > 0 && setup.fwhmPx > 0)
    .sort((a, b) => b.facts.length - a.facts.length);
}

/**
 * Growth of FWHM, per cent, that a blur disc of the given diameter adds to a star of the given FWHM (both pixels):
 * moments grow by 1.25 times the added variance (see night/blur-response), FWHM as their root.
 */
export function softeningPercent(discPx: number, fwhmPx: number): number {
  return 100 * (Math.sqrt(1 + (1.25 * discPx * discPx) / 16 / (0.2 * fwhmPx * fwhmPx)) - 1);
}

/** Growth of FWHM, a part of it, that an added variance (pixels squared, per axis) gives a star of the given FWHM, both taken as Gaussian. */
export function growthOfFwhm(variancePx2: number, fwhmPx: number): number {
  return Math.sqrt(1 + (8 * Math.LN2 * variancePx2) / (fwhmPx * fwhmPx)) - 1;
}

/** A focus error of the frames that is typical for the set-up, blur disc in pixels: median of the sizes. */
export function typicalFocusPx(setup: SetupFacts): number {
  const sizes = setup.facts
    .flatMap((f) => (f.fitted === null ? [] : [Math.abs(f.fitted.focusPx)]))
    .sort((a, b) => a - b);
  return sizes[Math.floor(sizes.length / 2)] ?? 0;
}

/**
 * What a pattern over the field is worth by the number of frames that show it: the stars of one frame may be drawn out by its own bad luck
 * (a gust, a sloping sky, a crowd of unresolved neighbours), and a rig's fault shows in all of its frames alike.
 */
export function seenInFrames(setup: SetupFacts): number {
  return Math.min(1, 0.35 + 0.2 * setup.facts.length);
}
