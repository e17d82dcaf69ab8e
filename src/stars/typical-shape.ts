import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap, SourceList } from '../image/types.js';
import { medianInPlace } from '../stats/index.js';
import { measureMoments, type Tensor } from './adaptive-moments.js';
import { skyRing } from './frame-setting.js';
import { localBackground } from './local-background.js';
import { windowCutter } from './star-window.js';

const LOOKED_AT = 80;
const WANTED = 40;
/** Knots of a galaxy are wider than this times the variance that the search's own scale speaks for; discs, trails and seeing stay below. */
const WIDEST = 2;
/** Pairs of hot pixels and hits of particles are narrower than this times it; what a scale that counts all the light makes of a star's core stays above. */
const NARROWEST = 0.3;

/**
 * Typical second moments of a frame's star image (medians over its brighter unclipped sources that are neither wider nor narrower than the search's scale allows, or over all where
 * hardly any is); a round image of that scale when fewer than three sources can be measured.
 */
export function typicalShape(
  plane: PixelPlane,
  background: BackgroundMap,
  sources: SourceList,
  clipLevel: number | null,
): Tensor {
  const guess = (sources.scalePx / 2.3548) ** 2;
  const round = { xx: guess, xy: 0, yy: guess };
  const ring = skyRing(sources.scalePx);
  const { window, cut } = windowCutter(plane, background, ring.outer + 2);
  const compact: Tensor[] = [];
  const odd: Tensor[] = [];
  for (let s = 0; s < Math.min(sources.count, LOOKED_AT * 3) && compact.length < WANTED; s += 1) {
    const x = sources.x[s];
    const y = sources.y[s];
    cut(x, y, ring.outer);
    if (window.isCut || window.blanks > 0) continue;
    const { level } = localBackground(window, x - 1, y - 1, ring.inner, ring.outer);
    const moments = measureMoments(window, { x: x - 1, y: y - 1, shape: round }, level, 0);
    if (moments === null) continue;
    if (clipLevel !== null && peakNear(window, moments.x, moments.y) + window.sky >= 0.95 * clipLevel)
      continue;
    const { mxx: xx, mxy: xy, myy: yy } = moments;
    const isOdd = xx + yy > 2 * WIDEST * guess || xx + yy < 2 * NARROWEST * guess;
    (isOdd ? odd : compact).push({ xx, xy, yy });
  }
  const stars = compact.length < 3 ? [...compact, ...odd] : compact;
  if (stars.length < 3) return round;
  const middle = (part: keyof Tensor): number => medianInPlace(stars.map((star) => star[part]));
  const [xx, xy, yy] = [middle('xx'), middle('xy'), middle('yy')];
  return xx * yy - xy * xy > 0.01 ? { xx, xy, yy } : round;
}

function peakNear(
  window: { x0: number; y0: number; width: number; height: number; values: Float32Array },
  x: number,
  y: number,
): number {
  let peak = -Infinity;
  for (let j = -2; j <= 2; j += 1) {
    for (let i = -2; i <= 2; i += 1) {
      const column = Math.round(x) - window.x0 + i;
      const row = Math.round(y) - window.y0 + j;
      if (column < 0 || row < 0 || column >= window.width || row >= window.height) continue;
      peak = Math.max(peak, window.values[row * window.width + column]);
    }
  }
  return peak;
}
