import type { AdaptiveMoments } from './adaptive-moments.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameFits } from './fit-stars.js';
import type { FrameSetting } from './frame-setting.js';
import { fluxWithin, measureGrowth } from './growth-curve.js';
import { collectWings, describeWings, makeWingCollector, WING_REACH } from './wings.js';

/** How the frame's mean star goes on beyond the aperture of the half-flux measurement. */
export interface FrameWings {
  /** Aperture radius for a star of these moments, px. */
  readonly reachPx: (moments: AdaptiveMoments) => number;
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
    const width = momentWidth(moments);
    const x = star?.x ?? moments.x;
    const y = star?.y ?? moments.y;
    const reach = WING_REACH * Math.min(width, 1.3 * widthPx);
    openWindow(setting, source, x + 1, y + 1, Math.min(reach, 6 * widthPx));
    if (window.isCut) continue;
    const growth = measureGrowth(window, x, y, referenceWidths * width, 0, setting.isMosaic);
    collectWings(collector, window, x, y, width, fluxWithin(growth, referenceWidths * width));
  }
  const ringMiddle = (setting.ringInner + setting.ringOuter) / 2 / widthPx;
  const wings = describeWings(collector) ?? moffatWings(1 / Math.max(0.05, frame.gamma), referenceWidths);
  return {
    reachPx: (moments) => referenceWidths * momentWidth(moments),
    totalOverReference: wings.totalOverReference,
    skyLevel: wings.levelAt(ringMiddle) / 2.3548 ** 2,
  };
}

/** Full width (px) of the Gaussian that has the star's moments, geometric mean of both axes. */
function momentWidth({ mxx, mxy, myy }: AdaptiveMoments): number {
  return 2.3548 * (mxx * myy - mxy * mxy) ** 0.25;
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
