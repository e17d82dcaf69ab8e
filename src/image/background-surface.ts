import { medianInPlace } from '../stats/index.js';

/** Values on a grid of tiles, row-major; tile (i, j) is centred at ((i + 0.5) size, (j + 0.5) size) in 0-based pixel edges. */
export interface TileGrid {
  readonly columns: number;
  readonly rows: number;
  readonly values: Float64Array;
}

/** Fill NaN tiles from the nearest measured ones, ring by ring; all-NaN grids stay as they are. */
export function fillHoles(grid: TileGrid): Float64Array {
  let current = Float64Array.from(grid.values);
  for (let round = 0; round < grid.columns + grid.rows; round += 1) {
    let holes = 0;
    const next = Float64Array.from(current);
    for (let j = 0; j < grid.rows; j += 1) {
      for (let i = 0; i < grid.columns; i += 1) {
        if (!Number.isNaN(current[j * grid.columns + i])) continue;
        let sum = 0;
        let n = 0;
        visitNeighbours(grid.columns, grid.rows, i, j, (k) => {
          if (Number.isNaN(current[k])) return;
          sum += current[k];
          n += 1;
        });
        if (n > 0) next[j * grid.columns + i] = sum / n;
        else holes += 1;
      }
    }
    current = next;
    if (holes === 0) break;
  }
  return current;
}

/**
 * Replace tiles that stand out from their surroundings by the median of the 3 x 3 block about them: above (a bright star, a galaxy core) or below
 * by more than `limit`. Smooth gradients pass unchanged, steep ones at the border too: there the straight line through the two tiles farther in counts as well.
 */
export function rejectOutlyingTiles(grid: TileGrid, limit: number): Float64Array {
  const result = Float64Array.from(grid.values);
  const block = new Float64Array(9);
  for (let j = 0; j < grid.rows; j += 1) {
    for (let i = 0; i < grid.columns; i += 1) {
      if (isAmongOthers(grid, i, j, limit)) continue;
      let n = 0;
      visitNeighbours(grid.columns, grid.rows, i, j, (k) => {
        block[n++] = grid.values[k];
      });
      if (n < 3) continue;
      const k = j * grid.columns + i;
      const value = grid.values[k];
      const standsOut = (expected: number): boolean => Math.abs(value - expected) > limit;
      const median = medianInPlace(block, n);
      if (standsOut(median) && continuations(grid, i, j).every(standsOut)) result[k] = median;
    }
  }
  return result;
}

/** Are most of the tiles around this one within `limit` of it? Then so is their median: nearly everywhere. */
function isAmongOthers({ columns, rows, values }: TileGrid, i: number, j: number, limit: number): boolean {
  const value = values[j * columns + i];
  const right = Math.min(columns - 1, i + 1);
  const up = Math.min(rows - 1, j + 1);
  let near = -1;
  let others = -1;
  for (let y = Math.max(0, j - 1); y <= up; y += 1) {
    for (let k = y * columns + Math.max(0, i - 1); k <= y * columns + right; k += 1) {
      others += 1;
      if (Math.abs(values[k] - value) <= limit) near += 1;
    }
  }
  return near > others / 2;
}

/** What a border tile would be if the sky went on straight from the two tiles farther in, along each axis at whose border it lies. */
function continuations({ columns, rows, values }: TileGrid, i: number, j: number): number[] {
  const k = j * columns + i;
  const result: number[] = [];
  if (columns > 2 && (i === 0 || i === columns - 1)) {
    const step = i === 0 ? 1 : -1;
    result.push(2 * values[k + step] - values[k + 2 * step]);
  }
  if (rows > 2 && (j === 0 || j === rows - 1)) {
    const step = j === 0 ? columns : -columns;
    result.push(2 * values[k + step] - values[k + 2 * step]);
  }
  return result;
}

/**
 * Smooth tiles along rows, then columns, with the quadratic of Savitzky & Golay (1964) over five tiles (-3 12 17 12 -3)/35: noise falls by a third along each axis while
 * slopes and curvature (gradients, vignetting) pass unchanged. Tiles nearer than two to the border stay as they are along that axis.
 */
export function smoothTiles(grid: TileGrid): Float64Array {
  const { columns, rows } = grid;
  const across = new Float64Array(grid.values.length);
  const result = new Float64Array(grid.values.length);
  smoothLine(grid.values, across, columns, rows, 1, columns);
  smoothLine(across, result, rows, columns, columns, 1);
  return result;
}

function smoothLine(
  from: Float64Array,
  to: Float64Array,
  length: number,
  lines: number,
  step: number,
  lineStep: number,
): void {
  for (let line = 0; line < lines; line += 1) {
    for (let i = 0; i < length; i += 1) {
      const k = line * lineStep + i * step;
      const isInner = i > 1 && i < length - 2;
      to[k] = isInner
        ? (17 * from[k] +
            12 * (from[k - step] + from[k + step]) -
            3 * (from[k - 2 * step] + from[k + 2 * step])) /
          35
        : from[k];
    }
  }
}

function visitNeighbours(
  columns: number,
  rows: number,
  i: number,
  j: number,
  visit: (k: number) => void,
): void {
  for (let y = Math.max(0, j - 1); y <= Math.min(rows - 1, j + 1); y += 1) {
    for (let x = Math.max(0, i - 1); x <= Math.min(columns - 1, i + 1); x += 1) {
      if (x !== i || y !== j) visit(y * columns + x);
    }
  }
}

/** No level is moved by more than this part of the noise: what bends faster is no sky. */
const MOST_MOVED = 0.5;

/**
 * Tile levels such that straight lines between them (`interpolateTiles`) follow a curved sky: a tile's level is the mean over the tile (variance 1/12 in tiles), and
 * straight lines smooth it once more (1/6); together they lower a dome by an eighth of its second difference along each axis, which is added here.
 *
 * `noise`: of one pixel, ADU; bounds the change.
 */
export function sharpenTiles({ columns, rows, values }: TileGrid, noise: number): Float64Array {
  const limit = MOST_MOVED * noise;
  // The bend of a border tile is that of the one beside it.
  const inner = (i: number, count: number): number => Math.max(1, Math.min(count - 2, i));
  return values.map((value, k) => {
    const i = k % columns;
    const j = (k - i) / columns;
    const across = j * columns + inner(i, columns);
    const along = inner(j, rows) * columns + i;
    let bend = 0;
    if (columns > 2) bend += values[across - 1] - 2 * values[across] + values[across + 1];
    if (rows > 2) bend += values[along - columns] - 2 * values[along] + values[along + columns];
    return value - Math.max(-limit, Math.min(limit, bend / 8));
  });
}
