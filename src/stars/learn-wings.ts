import { openWindow, type FirstLook } from './first-look.js';
import type { FrameFits } from './fit-stars.js';
import type { FrameSetting } from './frame-setting.js';
import { fluxWithin, measureGrowth } from './growth-curve.js';
import { collectWings, describeWings, makeWingCollector, WING_REACH } from './wings.js';

/** How the frame's mean star goes on beyond the aperture of the half-flux measurement. */
export interface FrameWings {
  /** Aperture radius in units of a star's own moment width (2.3548 sigma). */
  readonly referenceWidths: number;
  readonly totalOverReference: number;
  /** Mean star's light per pixel in the sky ring over its flux, times its own mean variance (px^2): dimensionless. */
  readonly skyLevel: number;
}

const MOST_STARS = 40;

/** Learn the wings from the calibrators; without enough of them the fitted Moffat's own wings stand in. */
export function learnWings(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  frame: FrameFits,
): FrameWings {
  const { widthPx, window } = setting;
  const referenceWidths = widthPx > 12 ? 1.5 : 2;
  const collector = makeWingCollector(referenceWidths);
  for (const k of calibrators.slice(0, MOST_STARS)) {
    const { moments, source } = looks[k];
    const star = frame.fits.get(k);
    if (moments === null) continue;
    const width = 2.3548 * (moments.mxx * moments.myy - moments.mxy ** 2) ** 0.25;
    const x = star?.x ?? moments.x;
    const y = star?.y ?? moments.y;
    const reach = WING_REACH * Math.min(width, 1.3 * widthPx);
    openWindow(setting, source, x + 1, y + 1, Math.min(reach, 6 * widthPx));
    if (window.isCut) continue;
    const growth = measureGrowth(window, x, y, referenceWidths * width, 0, setting.isMosaic);
    collectWings(collector, window, x, y, width, fluxWithin(growth, referenceWidths * width));
  }
  const ringMiddle = (setting.ringInner + setting.ringOuter) / 2 / widthPx;
  const wings = describeWings(collector) ?? moffatWings(frame.beta, referenceWidths);
  return {
    referenceWidths,
    totalOverReference: wings.totalOverReference,
    skyLevel: wings.levelAt(ringMiddle) / 2.3548 ** 2,
  };
}

/** Wings of a round Moffat of width 1: flux outside r is (1 + (r/alpha)^2)^(1 - beta). */
function moffatWings(
  beta: number,
  reference: number,
): { readonly totalOverReference: number; readonly levelAt: (radius: number) => number } {
  const k = 4 * (2 ** (1 / beta) - 1);
  const outside = (1 + k * reference * reference) ** (1 - beta);
  return {
    totalOverReference: 1 / (1 - outside),
    levelAt: (radius) => ((beta - 1) * k * (1 + k * radius * radius) ** -beta) / Math.PI,
  };
}
