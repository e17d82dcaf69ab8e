import { medianInPlace } from '../stats/index.js';
import type { CoarseSignal } from './coarse-signal.js';
import type { Line } from './line-votes.js';

/** Light along a line over the light beside it, block by block. */
export interface LineContrast {
  /** Block coordinates of the steps. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Signal on the line less the median beside it, in units of a block's noise. */
  readonly contrast: Float64Array;
}

const BESIDE = [-7, -6, -5, -4, 4, 5, 6, 7];

/** Walk the line through the frame in steps of one block. */
export function lineContrast(signal: CoarseSignal, { theta, rho }: Line): LineContrast {
  const c = Math.cos(theta);
  const s = Math.sin(theta);
  const reach = Math.ceil(Math.hypot(signal.columns, signal.rows));
  const xs: number[] = [];
  const ys: number[] = [];
  const contrast: number[] = [];
  const beside = new Float64Array(BESIDE.length);
  for (let t = -reach; t <= reach; t += 1) {
    const x = rho * c - t * s;
    const y = rho * s + t * c;
    if (x < 0 || y < 0 || x > signal.columns - 1 || y > signal.rows - 1) continue;
    const on =
      (bilinear(signal, x, y) +
        bilinear(signal, x + 0.7 * c, y + 0.7 * s) +
        bilinear(signal, x - 0.7 * c, y - 0.7 * s)) /
      3;
    let n = 0;
    for (const d of BESIDE) {
      const v = bilinear(signal, x + d * c, y + d * s);
      if (!Number.isNaN(v)) beside[n++] = v;
    }
    if (n < 3 || Number.isNaN(on)) continue;
    xs.push(x);
    ys.push(y);
    contrast.push(on - medianInPlace(beside, n));
  }
  return { x: Float64Array.from(xs), y: Float64Array.from(ys), contrast: Float64Array.from(contrast) };
}

/** Signal at block coordinates between blocks; NaN outside. */
export function bilinear(signal: CoarseSignal, x: number, y: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  if (i < 0 || j < 0 || i >= signal.columns - 1 || j >= signal.rows - 1) return NaN;
  const s = x - i;
  const t = y - j;
  const k = j * signal.columns + i;
  const { values, columns } = signal;
  return (
    (1 - t) * ((1 - s) * values[k] + s * values[k + 1]) +
    t * ((1 - s) * values[k + columns] + s * values[k + columns + 1])
  );
}
