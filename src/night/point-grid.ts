/** Points sorted into square cells, for quick search of the nearest one. */
export interface PointGrid {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly minX: number;
  readonly minY: number;
  readonly cellPx: number;
  readonly columns: number;
  readonly rows: number;
  /** `start[c]` to `start[c + 1]`: the range of cell c in `index`. */
  readonly start: Int32Array;
  readonly index: Int32Array;
}

/** Cells per side over the root of the number of points: more cells would be empty, and take longer to make than the searches. */
const cellsPerRoot = 2;

/** Builds the grid over finite points; `reachPx` is the largest search radius that will be asked for. */
export function buildPointGrid(x: Float64Array, y: Float64Array, reachPx: number): PointGrid {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (let i = 0; i < x.length; i++) {
    minX = Math.min(minX, x[i]!);
    maxX = Math.max(maxX, x[i]!);
    minY = Math.min(minY, y[i]!);
    maxY = Math.max(maxY, y[i]!);
  }
  if (x.length === 0) minX = minY = maxX = maxY = 0;
  const maxCells = Math.max(1, cellsPerRoot * Math.sqrt(x.length));
  const cellPx = Math.max(reachPx, (maxX - minX) / maxCells, (maxY - minY) / maxCells, 1e-6);
  const columns = Math.floor((maxX - minX) / cellPx) + 1;
  const rows = Math.floor((maxY - minY) / cellPx) + 1;
  const start = new Int32Array(columns * rows + 1);
  const cellOf = (i: number): number =>
    Math.floor((y[i]! - minY) / cellPx) * columns + Math.floor((x[i]! - minX) / cellPx);
  for (let i = 0; i < x.length; i++) start[cellOf(i) + 1]!++;
  for (let c = 0; c < columns * rows; c++) start[c + 1]! += start[c]!;
  const next = start.slice();
  const index = new Int32Array(x.length);
  for (let i = 0; i < x.length; i++) index[next[cellOf(i)]!++] = i;
  return { x, y, minX, minY, cellPx, columns, rows, start, index };
}

/** Indices of the points within `reachPx` (at most the grid's reach) of (px, py). */
export function pointsWithin(grid: PointGrid, px: number, py: number, reachPx: number): number[] {
  const found: number[] = [];
  visitNear(grid, px, py, (i, square) => {
    if (square <= reachPx * reachPx) found.push(i);
  });
  return found;
}

/** Index of the point nearest to (px, py) within `reachPx` (at most the grid's reach), or -1. */
export function nearestPoint(grid: PointGrid, px: number, py: number, reachPx: number): number {
  let best = -1;
  let bestSquare = reachPx * reachPx;
  visitNear(grid, px, py, (i, square) => {
    if (square > bestSquare) return;
    bestSquare = square;
    best = i;
  });
  return best;
}

/** Calls `visit` with index and squared distance of every point in the nine cells about (px, py). */
function visitNear(
  grid: PointGrid,
  px: number,
  py: number,
  visit: (i: number, square: number) => void,
): void {
  const column = Math.floor((px - grid.minX) / grid.cellPx);
  const row = Math.floor((py - grid.minY) / grid.cellPx);
  for (let r = Math.max(0, row - 1); r <= Math.min(grid.rows - 1, row + 1); r++) {
    const from = Math.max(0, column - 1);
    const to = Math.min(grid.columns - 1, column + 1);
    if (from > to) continue;
    // Cells of one row lie side by side in the index: one range covers all three.
    const end = grid.start[r * grid.columns + to + 1]!;
    for (let k = grid.start[r * grid.columns + from]!; k < end; k++) {
      const i = grid.index[k]!;
      const dx = grid.x[i]! - px;
      const dy = grid.y[i]! - py;
      visit(i, dx * dx + dy * dy);
    }
  }
}
