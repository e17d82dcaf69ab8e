import { log4 } from './exponential';
import { moffatHeight } from './moffat-lines';

/** What a pixel adds to a width, in quadrature: that of a Gaussian with a pixel's variance, 2.3548 / sqrt(12). */
const PIXEL_WIDTH: f64 = 0.68;
/** Nearer to half of the maximum than this part is there. */
const NEAR: f64 = 2e-6;
const MOST_STEPS: i32 = 60;

/**
 * Full width at half maximum (px) of the profile at `p` (see `moffatLines`) on the sensor, each pixel averaged over `nodes`, along the direction (cos, sin). `startWidth`: the width before the pixel, which
 * is the answer where a pixel is a point.
 */
export function sensorWidth(
  p: usize,
  nodes: usize,
  nodeCount: i32,
  cos: f64,
  sin: f64,
  startWidth: f64,
): f64 {
  if (nodeCount == 1) return startWidth;
  const half = moffatHeight(p, nodes, nodeCount, 0, 0) / 2;
  // The logarithm of the height is nearly a straight line in the squared distance: secant steps in these, inside a bracket.
  let low = 0.0;
  let high = Infinity;
  let before = 0.0;
  let logBefore = Math.LN2;
  let t = Math.sqrt(startWidth * startWidth + PIXEL_WIDTH * PIXEL_WIDTH) / 2;
  for (let k = 0; k < MOST_STEPS; k += 1) {
    const ratio = f32x4.splat(<f32>(moffatHeight(p, nodes, nodeCount, t * cos, t * sin) / half));
    const log = <f64>f32x4.extract_lane(log4(ratio), 0);
    if (Math.abs(log) < NEAR) break;
    if (log > 0) low = t;
    else high = t;
    const square = t * t - (log * (t * t - before)) / (log - logBefore);
    before = t * t;
    logBefore = log;
    const next = Math.sqrt(square);
    t = next > low && next < high ? next : high < Infinity ? (low + high) / 2 : 1.3 * t;
  }
  return 2 * t;
}
