import { choleskyInPlace, choleskySolveInPlace, medianInPlace } from '../stats/index.js';
import type { TileGrid } from './background-surface.js';

/** Frame that the tiles lie on, in tiles: not whole numbers, since the last column and row are cut or stretched to fit. */
export interface FrameInTiles {
  readonly across: number;
  readonly down: number;
}

interface SkyGradient {
  readonly percent: number | null;
  readonly directionDeg: number | null;
}

const NONE: SkyGradient = { percent: null, directionDeg: null };
const TERMS = 4;
/** A grid this wide and high can tell a fall-off from the plane. */
const ENOUGH_FOR_FALLOFF = 3;
const ENOUGH_TILES = 150;

/**
 * Smooth gradient of the sky: the plane in a least-squares fit of plane and round fall-off (r^2 from the centre) to the tile levels; tiles that leave it by 3 spreads
 * are dropped.
 *
 * The fall-off stands beside the plane so that the dark corners of a vignetted frame are neither taken for outliers nor for a slope; it is no part of the figure.
 * `frame` (default: the grid itself) is where the fall-off is centred and what the plane spans.
 * Returns highest minus lowest corner of the plane over the frame in per cent of `medianLevel`, and the direction in which the plane gets brighter, degrees
 * counter-clockwise from +x. Nulls when the level is not above zero or there are fewer than 2 x 2 tiles.
 */
export function skyGradient(
  grid: TileGrid,
  medianLevel: number,
  frame: FrameInTiles = { across: grid.columns, down: grid.rows },
): SkyGradient {
  const { columns, rows } = grid;
  if (!(medianLevel > 0) || columns < 2 || rows < 2) return NONE;
  const chosen = evenTiles(columns, rows);
  const values = Float64Array.from(chosen, (k) => grid.values[k]);
  const size = Math.min(columns, rows) >= ENOUGH_FOR_FALLOFF ? TERMS : TERMS - 1;
  const basis = tileBasis(chosen, columns, frame);
  const keep = new Uint8Array(values.length).fill(1);
  const residuals = new Float64Array(values.length);
  let fit = new Float64Array(size);
  for (let round = 0; round < 4; round += 1) {
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    for (let k = 0; k < values.length; k += 1) {
      if (!keep[k] || !Number.isFinite(values[k])) continue;
      for (let i = 0; i < size; i += 1) {
        right[i] += basis[TERMS * k + i] * values[k];
        for (let j = 0; j <= i; j += 1) normal[i * size + j] += basis[TERMS * k + i] * basis[TERMS * k + j];
      }
    }
    if (!choleskyInPlace(normal, size)) return NONE;
    choleskySolveInPlace(normal, size, right);
    fit = right;
    for (let k = 0; k < values.length; k += 1) {
      let model = 0;
      for (let i = 0; i < size; i += 1) model += basis[TERMS * k + i] * fit[i];
      residuals[k] = Math.abs(values[k] - model);
    }
    const spread = 1.4826 * medianInPlace(Float64Array.from(residuals.filter((r) => !Number.isNaN(r))));
    // Values that all lie on the surface leave rounding errors only.
    const limit = Math.max(3 * spread, 1e-9 * Math.abs(medianLevel));
    for (let k = 0; k < values.length; k += 1) keep[k] = residuals[k] <= limit ? 1 : 0;
  }
  const [, gx, gy] = fit;
  return {
    percent: (100 * 2 * (Math.abs(gx) + Math.abs(gy))) / medianLevel,
    directionDeg: ((Math.atan2(gy / frame.down, gx / frame.across) * 180) / Math.PI + 360) % 360,
  };
}

/** Enough tiles, spread evenly: more say the same of so smooth a surface. */
function evenTiles(columns: number, rows: number): number[] {
  const step = Math.max(1, Math.round(Math.sqrt((columns * rows) / ENOUGH_TILES)));
  const first = (count: number): number => ((count - 1) % step) >> 1;
  const chosen: number[] = [];
  for (let j = first(rows); j < rows; j += step)
    for (let i = first(columns); i < columns; i += step) chosen.push(j * columns + i);
  return chosen;
}

/** Per chosen tile 1, x and y (-1..1 from border to border of the frame) and r^2 (1 in the corners). */
function tileBasis(chosen: readonly number[], columns: number, { across, down }: FrameInTiles): Float64Array {
  const basis = new Float64Array(TERMS * chosen.length);
  const corner = across * across + down * down;
  chosen.forEach((k, n) => {
    const i = k % columns;
    const x = (2 * i + 1) / across - 1;
    const y = (2 * ((k - i) / columns) + 1) / down - 1;
    const at = TERMS * n;
    basis[at] = 1;
    basis[at + 1] = x;
    basis[at + 2] = y;
    basis[at + 3] = ((x * across) ** 2 + (y * down) ** 2) / corner;
  });
  return basis;
}
