import { median } from 'simple-statistics';
import { axisDeg } from './field-cells.js';
import type { CornerFigure, CornerName, FieldCell, FieldPattern, TiltFigure } from './types.js';

const CORNERS: readonly CornerName[] = ['top-left', 'top-right', 'bottom-left', 'bottom-right'];

/**
 * The mean pattern of several frames of one camera: cells pooled on the coarsest grid among them, figures weighted by their errors.
 *
 * Frame-to-frame seeing is taken out first: each frame's widths are scaled to the median width of all, so that a soft frame does not
 * speak louder where it happens to have more cells. One pattern comes back as it is; RangeError for none.
 */
export function combineFields(
  patterns: readonly FieldPattern[],
  widthPx: number,
  heightPx: number,
): FieldPattern {
  if (patterns.length === 0) throw new RangeError('there is no pattern to combine');
  if (patterns.length === 1) return patterns[0]!;
  const mapped = patterns.filter((pattern) => pattern.cells.length > 0);
  const columns = Math.min(...(mapped.length > 0 ? mapped : patterns).map((pattern) => pattern.columns));
  const rows = Math.min(...(mapped.length > 0 ? mapped : patterns).map((pattern) => pattern.rows));
  return {
    columns,
    rows,
    cells: pooledCells(mapped, columns, rows, widthPx, heightPx),
    tilt: combineTilts(patterns.map((pattern) => pattern.tilt)),
    ...combineCurvatures(patterns),
    ...combineRadials(patterns),
    corners: CORNERS.map((name) => meanCorner(name, patterns)),
  };
}

function pooledCells(
  patterns: readonly FieldPattern[],
  columns: number,
  rows: number,
  widthPx: number,
  heightPx: number,
): FieldCell[] {
  const middles = patterns.map((pattern) => median(pattern.cells.map((cell) => cell.fwhmPx)));
  const common = middles.length > 0 ? median(middles) : 1;
  const members = new Map<number, FieldCell[]>();
  patterns.forEach((pattern, i) => {
    const scale = common / middles[i]!;
    for (const cell of pattern.cells) {
      const column = clamp(Math.floor(((cell.x - 0.5) / widthPx) * columns), columns);
      const row = clamp(Math.floor(((cell.y - 0.5) / heightPx) * rows), rows);
      const key = row * columns + column;
      const scaled = { ...cell, fwhmPx: cell.fwhmPx * scale, fwhmErrorPx: cell.fwhmErrorPx * scale };
      const list = members.get(key);
      if (list) list.push(scaled);
      else members.set(key, [scaled]);
    }
  });
  return [...members]
    .sort(([a], [b]) => a - b)
    .map(([key, cells]) => meanCell(cells, key % columns, Math.floor(key / columns)));
}

function meanCell(cells: readonly FieldCell[], column: number, row: number): FieldCell {
  const weights = cells.map((cell) => (cell.fwhmErrorPx > 0 ? 1 / cell.fwhmErrorPx ** 2 : 1));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (cell: FieldCell) => number) =>
    cells.reduce((sum, cell, i) => sum + weights[i]! * of(cell), 0) / total;
  // Elongations point; they are averaged as vectors of ellipticity, so that random axes cancel.
  const strength = (cell: FieldCell) => (cell.elongation ** 2 - 1) / (cell.elongation ** 2 + 1);
  const e1 = mean((cell) => strength(cell) * Math.cos((2 * cell.angleDeg * Math.PI) / 180));
  const e2 = mean((cell) => strength(cell) * Math.sin((2 * cell.angleDeg * Math.PI) / 180));
  const e = Math.min(0.999, Math.hypot(e1, e2));
  return {
    column,
    row,
    x: mean((cell) => cell.x),
    y: mean((cell) => cell.y),
    stars: cells.reduce((sum, cell) => sum + cell.stars, 0),
    fwhmPx: mean((cell) => cell.fwhmPx),
    fwhmErrorPx: Math.sqrt(1 / total),
    elongation: Math.sqrt((1 + e) / (1 - e)),
    angleDeg: axisDeg(e1, e2),
    mxx: mean((cell) => cell.mxx),
    mxy: mean((cell) => cell.mxy),
    myy: mean((cell) => cell.myy),
    mError: mean((cell) => cell.mError) / Math.sqrt(cells.length),
    skewX: mean((cell) => cell.skewX),
    skewY: mean((cell) => cell.skewY),
    skewError: mean((cell) => cell.skewError) / Math.sqrt(cells.length),
  };
}

/** Slopes of several frames averaged as vectors, weighted by their errors; null when no frame has one. */
export function combineTilts(figures: readonly (TiltFigure | null)[]): TiltFigure | null {
  const tilts = figures.flatMap((tilt) => tilt ?? []);
  if (tilts.length === 0) return null;
  const weights = tilts.map((tilt) =>
    tilt.fwhmSpanErrorPercent > 0 ? 1 / tilt.fwhmSpanErrorPercent ** 2 : 1,
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (angle: number) => number) =>
    tilts.reduce(
      (sum, tilt, i) => sum + weights[i]! * tilt.fwhmSpanPercent * of((tilt.directionDeg * Math.PI) / 180),
      0,
    ) / total;
  const x = mean(Math.cos);
  const y = mean(Math.sin);
  return {
    directionDeg: ((Math.atan2(y, x) * 180) / Math.PI + 360) % 360,
    fwhmSpanPercent: Math.hypot(x, y),
    fwhmSpanErrorPercent: Math.sqrt(1 / total),
  };
}

function combineCurvatures(
  patterns: readonly FieldPattern[],
): Pick<FieldPattern, 'curvaturePercent' | 'curvatureErrorPercent'> {
  const { value, error } = weightedMean(
    patterns.map((pattern) => ({ value: pattern.curvaturePercent, error: pattern.curvatureErrorPercent })),
  );
  return { curvaturePercent: value, curvatureErrorPercent: error };
}

function combineRadials(patterns: readonly FieldPattern[]): Pick<FieldPattern, 'radial' | 'radialError'> {
  const { value, error } = weightedMean(
    patterns.map((pattern) => ({ value: pattern.radial, error: pattern.radialError })),
  );
  return { radial: value, radialError: error };
}

interface Figure {
  readonly value: number | null;
  readonly error: number | null;
}

/** Mean by the errors, with its own; its error grows with the scatter of the figures beyond theirs. Nulls where no figure is known. */
function weightedMean(figures: readonly Figure[]): Figure {
  const known = figures.flatMap(({ value, error }) =>
    value === null || error === null || !(error > 0) ? [] : [{ value, weight: 1 / error ** 2 }],
  );
  if (known.length === 0) return { value: null, error: null };
  const total = known.reduce((sum, { weight }) => sum + weight, 0);
  const value = known.reduce((sum, figure) => sum + figure.weight * figure.value, 0) / total;
  const squares = known.reduce((sum, figure) => sum + figure.weight * (figure.value - value) ** 2, 0);
  const scatter = known.length > 1 ? Math.max(1, squares / (known.length - 1)) : 1;
  return { value, error: Math.sqrt(scatter / total) };
}

function meanCorner(name: CornerName, patterns: readonly FieldPattern[]): CornerFigure {
  const corners = patterns.flatMap((pattern) => pattern.corners.filter((corner) => corner.name === name));
  const pointed = corners.filter((corner) => corner.elongation !== null && corner.angleDeg !== null);
  const vector = (of: (angle: number) => number) =>
    meanOf(pointed.map((corner) => (corner.elongation! - 1) * of((2 * corner.angleDeg! * Math.PI) / 180)));
  const x = vector(Math.cos);
  const y = vector(Math.sin);
  return {
    name,
    fwhm: meanOf(corners.map((corner) => corner.fwhm)),
    elongation: meanOf(corners.map((corner) => corner.elongation)),
    angleDeg: x === null || y === null ? null : axisDeg(x, y),
    radial: meanOf(corners.map((corner) => corner.radial)),
    stars: corners.reduce((sum, corner) => sum + corner.stars, 0),
  };
}

function meanOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length;
}

function clamp(index: number, cells: number): number {
  return Math.min(cells - 1, Math.max(0, index));
}
