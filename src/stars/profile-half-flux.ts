import { medianInPlace } from '../stats/index.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameFits } from './fit-stars.js';
import type { FrameSetting } from './frame-setting.js';
import { measureFluxWithin } from './growth-curve.js';
import type { FrameWings } from './learn-wings.js';
import { moffatHeight, pixelNodes } from './moffat-profile.js';

/** Below this width (px) a ring no longer resolves the pixels it cuts, and the mean profile tells the half-flux circle better. */
const NARROW_PX = 4;
/** Long drawn-out stars are left to the curve of growth unless they are narrower still. */
const DRAWN_OUT = 1.5;
const VERY_NARROW_PX = 2.5;

/** Whether the mean profile, not the curve of growth, gives this frame's half-flux diameters. */
export function isNarrow({ shape: { xx, xy, yy }, widthPx }: FrameSetting): boolean {
  const split = Math.hypot(xx - yy, 2 * xy);
  const ratio = Math.sqrt((xx + yy + split) / Math.max(xx + yy - split, 1e-6));
  return widthPx < (ratio > DRAWN_OUT ? VERY_NARROW_PX : NARROW_PX);
}

/** Half-flux diameter of the frame's mean star. */
export interface HalfFluxRatio {
  readonly overWidth: number;
  /** Standard error that the light of the wings leaves it, as a part of it. What chance leaves the contents is that of the fitted widths, which goes the other way. */
  readonly error: number;
}

/** Radii to which, and steps in which, the profile is integrated, in half-widths; and directions around. */
const REACH = 4;
const STEP = 0.02;
const DIRECTIONS = 24;

/**
 * Half-flux diameter over fitted width of the frame's mean star, for stars too narrow for a curve of growth: the mean profile between the pixels (fit and core correction) is
 * integrated over a circle until it holds half of the total flux, which sums of whole pixels give without bias.
 *
 * Null when fewer than three calibrators can be used or half of the flux lies outside the profile's reach.
 */
export function halfFluxOverWidth(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  frame: FrameFits,
  wings: FrameWings,
): HalfFluxRatio | null {
  const nodes = pixelNodes(frame.order);
  const contents: number[] = [];
  const ratios: number[] = [];
  for (const k of calibrators) {
    const star = frame.meanStars.get(k);
    const { moments, pedestal, source } = looks[k];
    if (star === undefined || moments === null) continue;
    const reach = wings.reachPx(moments);
    openWindow(setting, source, star.x + 1, star.y + 1, reach + 1);
    const within = measureFluxWithin(setting.window, star.x, star.y, reach, pedestal, setting.isMosaic);
    const total = wings.totalOverReference * within;
    const top = star.peak * moffatHeight(star.shape, nodes, 0, 0);
    ratios.push(star.major / star.minor);
    contents.push(total / (top * 0.25 * star.major * star.minor));
  }
  if (contents.length < 3) return null;
  const half = medianInPlace(contents) / 2;
  // Elliptical stars, a round aperture: distance in half-widths changes along the circle.
  const ratio = medianInPlace(ratios);
  const stretch = Float64Array.from({ length: DIRECTIONS }, (_, d) => {
    const angle = ((d + 0.5) * Math.PI) / DIRECTIONS;
    return Math.sqrt(Math.cos(angle) ** 2 / ratio + Math.sin(angle) ** 2 * ratio);
  });
  let inside = 0;
  for (let r = STEP / 2; r < REACH; r += STEP) {
    let mean = 0;
    for (const s of stretch) mean += frame.correction.heightAt(r * s) / DIRECTIONS;
    const ring = 2 * Math.PI * r * STEP * mean;
    if (inside + ring >= half) {
      const overWidth = r - STEP / 2 + (STEP * (half - inside)) / ring;
      const perTotal = (half * STEP) / (ring * overWidth);
      return { overWidth, error: perTotal * wings.totalError };
    }
    inside += ring;
  }
  return null;
}
