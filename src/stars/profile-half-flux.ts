import { medianInPlace } from '../stats/index.js';
import { openWindow, type FirstLook } from './first-look.js';
import type { FrameFits } from './fit-stars.js';
import type { FrameSetting } from './frame-setting.js';
import { fluxWithin, measureGrowth } from './growth-curve.js';
import type { FrameWings } from './learn-wings.js';
import { moffatHeight, pixelNodes } from './moffat-profile.js';

/** Below this width (px) a ring no longer resolves the pixels it cuts, and the mean profile tells the half-flux circle better. */
export const NARROW_PX = 4;

const REACH = 1.7;
const STEP = 0.01;

/**
 * Half-flux diameter over fitted width of the frame's mean star, for stars too narrow for a curve of growth: the mean profile between the pixels (fit and core correction) is
 * integrated until it holds half of the total flux, which sums of whole pixels give without bias.
 *
 * Null when fewer than three calibrators can be used or half of the flux lies outside the profile's reach.
 */
export function halfFluxOverWidth(
  setting: FrameSetting,
  looks: readonly FirstLook[],
  calibrators: readonly number[],
  frame: FrameFits,
  wings: FrameWings,
): number | null {
  const nodes = pixelNodes(frame.order);
  const contents: number[] = [];
  for (const k of calibrators) {
    const star = frame.fits.get(k);
    const { moments, pedestal, source } = looks[k];
    if (star === undefined || moments === null) continue;
    const reach = wings.reachPx(moments);
    openWindow(setting, source, star.x + 1, star.y + 1, reach + 1);
    const growth = measureGrowth(setting.window, star.x, star.y, reach, pedestal, setting.isMosaic);
    const total = wings.totalOverReference * fluxWithin(growth, reach);
    const top = star.peak * moffatHeight(star.shape, nodes, 0, 0);
    contents.push(total / (top * 0.25 * star.major * star.minor));
  }
  if (contents.length < 3) return null;
  const half = medianInPlace(contents) / 2;
  let inside = 0;
  for (let u = STEP / 2; u < REACH; u += STEP) {
    const ring = 2 * Math.PI * u * STEP * frame.correction.heightAt(u);
    if (inside + ring >= half) return u - STEP / 2 + (STEP * (half - inside)) / ring;
    inside += ring;
  }
  return null;
}
