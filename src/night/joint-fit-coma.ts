import type { FitFrame } from './joint-fit-data.js';
import { predictSkew, type SharedParameters } from './joint-fit-model.js';

/**
 * How well the one-sidedness of the stars bears out a fitted coma: slope of measured against predicted third moments in
 * standard errors (positive: they agree). Second moments can suggest a coma that is none; flares cannot. Null without third moments.
 */
export function comaFlares(frames: readonly FitFrame[], shared: SharedParameters): number | null {
  const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };
  let xx = 0;
  let xy = 0;
  for (const frame of frames) {
    for (const cell of frame.cells) {
      if (!Number.isFinite(cell.skewX) || !Number.isFinite(cell.skewY) || !(cell.skewError > 0)) continue;
      predictSkew(shared, cell, skew);
      const weight = 1 / cell.skewError ** 2;
      const [x, y] = skew.value;
      xx += weight * (x * x + y * y);
      xy += weight * (x * cell.skewX + y * cell.skewY);
    }
  }
  return xx > 0 ? xy / Math.sqrt(xx) : null;
}
