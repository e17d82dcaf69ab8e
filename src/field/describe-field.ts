import type { StarTable } from '../stars/types.js';
import type { FieldPattern } from './types.js';
import { cornerFigures } from './corner-figures.js';
import { fieldCells } from './field-cells.js';
import { radialElongation } from './radial-elongation.js';
import { widthSurface } from './width-surface.js';

/**
 * Describe the pattern of star sizes and shapes over the sensor of one frame.
 *
 * @param table stars of the frame, positions in FITS pixels; @param widthPx, heightPx size of the image.
 * Figures that the stars cannot give are null: with no good star, no cell either. Throws nothing.
 */
export function describeField(table: StarTable, widthPx: number, heightPx: number): FieldPattern {
  const grid = fieldCells(table, widthPx, heightPx);
  const surface = widthSurface(table, widthPx, heightPx);
  return {
    columns: grid.columns,
    rows: grid.rows,
    cells: grid.cells,
    tilt: surface.tilt,
    curvaturePercent: surface.curvaturePercent,
    curvatureErrorPercent: surface.curvatureErrorPercent,
    ...radialElongation(table, widthPx, heightPx),
    corners: cornerFigures(table, widthPx, heightPx),
  };
}
