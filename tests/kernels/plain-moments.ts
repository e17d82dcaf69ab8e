import type { TestWindow } from './star-window.js';

/** A symmetric 2 x 2 tensor. */
export interface PlainTensor {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

export interface PlainMoments {
  readonly x: number;
  readonly y: number;
  readonly star: PlainTensor;
  readonly weight: PlainTensor;
}

/** Visits the pixels that a Gaussian weight of this variance about (x, y) reaches, with their weight. */
export function forEachWeighted(
  { width, values, usable }: TestWindow,
  x: number,
  y: number,
  { xx, xy, yy }: PlainTensor,
  visit: (w: number, value: number, dx: number, dy: number) => void,
): void {
  const determinant = xx * yy - xy * xy;
  values.forEach((value, k) => {
    const dx = (k % width) - x;
    const dy = Math.floor(k / width) - y;
    const q = (yy * dx * dx - 2 * xy * dx * dy + xx * dy * dy) / determinant;
    if (usable[k] && q <= 16) visit(Math.exp(-0.5 * q), value, dx, dy);
  });
}

/** One look through a weight: sum of the light, its mean's distance, and the star's variance (null: no light or no extent). */
export function plainLook(
  window: TestWindow,
  x: number,
  y: number,
  weight: PlainTensor,
  pedestal: number,
): { readonly s: number; readonly dx: number; readonly dy: number; readonly star: PlainTensor | null } {
  let [s, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0];
  forEachWeighted(window, x, y, weight, (w, value, dx, dy) => {
    const v = w * (value - pedestal);
    s += v;
    sx += v * dx;
    sy += v * dy;
    sxx += v * dx * dx;
    sxy += v * dx * dy;
    syy += v * dy * dy;
  });
  const dx = sx / s;
  const dy = sy / s;
  const p = { xx: sxx / s - dx * dx, xy: sxy / s - dx * dy, yy: syy / s - dy * dy };
  if (!(s > 0) || !(p.xx * p.yy - p.xy * p.xy > 0)) return { s, dx, dy, star: null };
  const [ip, iw] = [inverse(p), inverse(weight)];
  const rest = { xx: ip.xx - iw.xx, xy: ip.xy - iw.xy, yy: ip.yy - iw.yy };
  const isNarrower = rest.xx > 0 && rest.yy > 0 && rest.xx * rest.yy > rest.xy * rest.xy;
  return { s, dx, dy, star: isNarrower ? inverse(rest) : { xx: 2 * p.xx, xy: 2 * p.xy, yy: 2 * p.yy } };
}

function inverse({ xx, xy, yy }: PlainTensor): PlainTensor {
  const determinant = xx * yy - xy * xy;
  return { xx: yy / determinant, xy: -xy / determinant, yy: xx / determinant };
}

export interface PlainLimits {
  readonly narrowest: number;
  readonly rounds: number;
  readonly restChange: number;
  readonly restShift: number;
  readonly farthest: number;
  readonly widest: number;
}

/** The weight that matches the star, step by step; null when it does not settle within the limits. */
export function plainAdaptiveMoments(
  window: TestWindow,
  start: PlainTensor,
  limits: PlainLimits,
  pedestal: number,
): PlainMoments | null {
  let { x, y } = window;
  let star = start;
  const widened = ({ xx, xy, yy }: PlainTensor): PlainTensor => {
    const more = Math.max(0, limits.narrowest - (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy));
    return { xx: xx + more, xy, yy: yy + more };
  };
  for (let round = 0; round < limits.rounds; round += 1) {
    const weight = widened(star);
    const look = plainLook(window, x, y, weight, pedestal);
    if (look.star === null) return null;
    const boost = (look.star.xx + look.star.yy) / (weight.xx + weight.yy) + 1;
    x += Math.max(-1, Math.min(1, boost * look.dx));
    y += Math.max(-1, Math.min(1, boost * look.dy));
    const trace = star.xx + star.yy;
    const change = Math.max(
      ...(['xx', 'xy', 'yy'] as const).map((part) => Math.abs(look.star![part] - star[part]) / trace),
    );
    const growth = Math.min(1, (3 * trace) / (look.star.xx + look.star.yy));
    star = { xx: look.star.xx * growth, xy: look.star.xy * growth, yy: look.star.yy * growth };
    if (Math.sqrt((star.xx + star.yy) / 2) > limits.widest) return null;
    if (Math.hypot(x - window.x, y - window.y) > limits.farthest) return null;
    if (change < limits.restChange && Math.hypot(look.dx, look.dy) < limits.restShift)
      return { x, y, star, weight: widened(star) };
  }
  return null;
}
