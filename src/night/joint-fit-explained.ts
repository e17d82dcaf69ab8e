import {
  frameOptics,
  predictCellValues,
  type FrameParameters,
  type SharedParameters,
} from './joint-fit-model.js';
import type { FitFrame } from './joint-fit-data.js';

/**
 * Part of the true variation of star size and shape over the field that the model explains, 0 to 1.
 *
 * Variation: size about each frame's own mean, shape about round, all cells and frames, measuring noise (the cells' own
 * errors) taken out of both the variation and what is left. When there is no variation beyond noise, 1 if nothing is left
 * unexplained either, else 0.
 */
export function explainedVariance(
  frames: readonly FitFrame[],
  shared: SharedParameters,
  own: readonly FrameParameters[],
): number {
  const values = new Float64Array(3);
  let variation = 0;
  let left = 0;
  let noise = 0;
  frames.forEach((frame, f) => {
    const mean = frame.cells.reduce((sum, cell) => sum + cell.iso, 0) / frame.cells.length;
    const optics = frameOptics(shared, own[f], frame);
    for (const cell of frame.cells) {
      predictCellValues(optics, cell, values);
      // In units of the frame's own size, so that a soft frame does not outvote the others.
      const unit = 1 / (mean * mean);
      variation += unit * ((cell.iso - mean) ** 2 + cell.plus ** 2 + cell.cross ** 2);
      left +=
        unit * ((cell.iso - values[0]) ** 2 + (cell.plus - values[1]) ** 2 + (cell.cross - values[2]) ** 2);
      noise += unit * (cell.isoError ** 2 + 2 * cell.shearError ** 2);
    }
  });
  const signal = variation - noise;
  const unexplained = Math.max(0, left - noise);
  if (signal <= 0.2 * noise) return unexplained <= 0.2 * noise ? 1 : 0;
  return Math.min(1, Math.max(0, 1 - unexplained / signal));
}
