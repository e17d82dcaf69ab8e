import { fieldPosition } from '../../field/index.js';
import type { FrameAssessment } from '../../field/types.js';
import type { Measured } from '../sweep/index.js';

/**
 * How much more blurred the corners (r = 1) are than the centre in a frame, pixel^2 of moment: slope of the cells' size against r^2.
 *
 * Spacing, tilt and focus away from the centre all add to it; a tilt adds the same at every spacing. Null with fewer than five cells.
 */
export function cornerExcess(frame: FrameAssessment): Measured | null {
  const cells = frame.field.cells.flatMap((cell) => {
    const { r2 } = fieldPosition(cell.x, cell.y, frame.image.widthPx, frame.image.heightPx);
    const iso = (cell.mxx + cell.myy) / 2;
    if (!(iso > 0) || !(cell.mError > 0)) return [];
    return [{ r2, iso, weight: 1 / (cell.mError ** 2 + (0.02 * iso) ** 2) }];
  });
  if (cells.length < 5) return null;
  const sw = cells.reduce((sum, cell) => sum + cell.weight, 0);
  const meanR2 = cells.reduce((sum, cell) => sum + cell.weight * cell.r2, 0) / sw;
  const mean = cells.reduce((sum, cell) => sum + cell.weight * cell.iso, 0) / sw;
  const sxx = cells.reduce((sum, cell) => sum + cell.weight * (cell.r2 - meanR2) ** 2, 0);
  if (!(sxx > 0)) return null;
  const slope = cells.reduce((sum, cell) => sum + cell.weight * (cell.r2 - meanR2) * cell.iso, 0) / sxx;
  const squares = cells.reduce(
    (sum, cell) => sum + cell.weight * (cell.iso - mean - slope * (cell.r2 - meanR2)) ** 2,
    0,
  );
  const scatter = Math.max(1, Math.sqrt(squares / (cells.length - 2)));
  return { value: slope, error: scatter / Math.sqrt(sxx) };
}
