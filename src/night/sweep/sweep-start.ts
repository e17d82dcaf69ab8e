import { median } from 'simple-statistics';
import { OWN_COUNT, SHARED_COUNT } from './sweep-model.js';
import type { SweepFrame } from './types.js';

/**
 * Start values of the sweep's fit: a parabola through the frames' median moments against the sensor's place, flat surfaces, no tracking.
 *
 * @param growth pixels of disc diameter per unit of defocus where known; else taken from the parabola's width
 */
export function startSweep(frames: readonly SweepFrame[], growth: number | null): Float64Array {
  const points = frames.map((frame) => ({
    x: frame.outward,
    y: median(frame.cells.map((cell) => cell.iso)),
  }));
  const smallest = points.reduce((best, p) => (p.y < best.y ? p : best));
  const parabola = fitParabola(points);
  const [low, high] = [Math.min(...points.map((p) => p.x)), Math.max(...points.map((p) => p.x))];
  const reach = high - low;
  const vertex = parabola && parabola.bend > 0 ? parabola.vertex : smallest.x;
  // Out of the sweep a vertex is a guess: no farther than one sweep's length.
  const best = Math.min(high + reach, Math.max(low - reach, vertex));
  // M = V + 1.5 D^2 / 16 far out, D the disc's diameter.
  const fromBend =
    parabola && parabola.bend > 0 ? Math.sqrt((16 * parabola.bend) / 1.5) : Math.sqrt(smallest.y) / reach;
  const start = new Float64Array(SHARED_COUNT + frames.length * OWN_COUNT);
  start[0] = best;
  start[5] = Math.log(growth ?? fromBend);
  start[7] = Math.log(0.9 * smallest.y);
  frames.forEach((_, f) => {
    start[SHARED_COUNT + f * OWN_COUNT] = start[7]!;
    // Off zero, where the length of the tracking tensor has no derivative.
    start[SHARED_COUNT + f * OWN_COUNT + 1] = 1e-3 * smallest.y;
  });
  return start;
}

/** Least-squares parabola y = low + bend (x - vertex)^2; null when the points lie on fewer than three places. */
function fitParabola(
  points: readonly { readonly x: number; readonly y: number }[],
): { vertex: number; bend: number } | null {
  const n = points.length;
  const centre = points.reduce((sum, p) => sum + p.x, 0) / n;
  const unit = Math.max(...points.map((p) => Math.abs(p.x - centre)), 1e-12);
  const moments = [0, 0, 0, 0, 0];
  const sums = [0, 0, 0];
  for (const p of points) {
    const t = (p.x - centre) / unit;
    for (let k = 0; k < 5; k += 1) moments[k] = moments[k]! + t ** k;
    for (let k = 0; k < 3; k += 1) sums[k] = sums[k]! + p.y * t ** k;
  }
  const [s0, s1, s2, s3, s4] = moments as [number, number, number, number, number];
  const [y0, y1, y2] = sums as [number, number, number];
  const determinant = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
  if (!(Math.abs(determinant) > 1e-9)) return null;
  const linear =
    (s0 * (y1 * s4 - y2 * s3) - y0 * (s1 * s4 - s2 * s3) + s2 * (s1 * y2 - s2 * y1)) / determinant;
  const square =
    (s0 * (s2 * y2 - s3 * y1) - s1 * (s1 * y2 - s2 * y1) + y0 * (s1 * s3 - s2 * s2)) / determinant;
  if (square === 0) return null;
  return { vertex: centre - (unit * linear) / (2 * square), bend: square / unit ** 2 };
}
