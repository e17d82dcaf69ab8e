import { medianInPlace } from '../stats/index.js';
import type { StarTable } from '../stars/types.js';
import type { FieldCell } from './types.js';
import { goodStars } from './good-stars.js';

/** Grid of mean stars over the sensor. */
export interface CellGrid {
  readonly columns: number;
  readonly rows: number;
  readonly cells: readonly FieldCell[];
}

/** Wanted stars a cell: enough that a neighbour or a galaxy among them can be told and left out. */
const STARS_PER_CELL = 8;
/** Own scatter of star images that formal errors do not know (centring in the pixel, unseen neighbours), part of the value. */
const INTRINSIC = 0.02;

/**
 * Bin the good stars over the sensor and average each cell robustly (3-sigma clipping about the median, weights by error).
 *
 * The grid is 3 x 3 to 9 x 9 cells, near-square, about eight stars each. Errors are those of the mean, scaled up to the
 * frame's own scatter. No good star: a 3 x 3 grid without cells.
 */
export function fieldCells(table: StarTable, widthPx: number, heightPx: number): CellGrid {
  const good = goodStars(table);
  const aspect = widthPx / heightPx;
  const wanted = good.length / STARS_PER_CELL;
  const columns = clampCells(Math.sqrt(wanted * aspect));
  const rows = clampCells(Math.sqrt(wanted / aspect));
  const members = new Map<number, number[]>();
  for (const i of good) {
    const column = Math.min(columns - 1, Math.max(0, Math.floor(((table.x[i]! - 0.5) / widthPx) * columns)));
    const row = Math.min(rows - 1, Math.max(0, Math.floor(((table.y[i]! - 0.5) / heightPx) * rows)));
    const key = row * columns + column;
    const list = members.get(key);
    if (list) list.push(i);
    else members.set(key, [i]);
  }
  const keys = [...members.keys()].sort((a, b) => a - b);
  const scale = frameScatter(table, [...members.values()]);
  const cells = keys.map((key) =>
    meanStar(table, members.get(key)!, key % columns, Math.floor(key / columns), scale),
  );
  return { columns, rows, cells };
}

/** How much larger the star-to-star scatter within cells is than the formal errors, for widths, moments, shapes and skewness. */
interface ScatterScale {
  readonly fwhm: number;
  readonly moment: number;
  readonly skew: number;
}

function frameScatter(table: StarTable, groups: readonly (readonly number[])[]): ScatterScale {
  const pull = { fwhm: [] as number[], moment: [] as number[], skew: [] as number[] };
  for (const group of groups) {
    if (group.length < 4) continue;
    const gather = (column: Float64Array, error: (i: number) => number, into: number[]): void => {
      const values = group.map((i) => column[i]!).filter(Number.isFinite);
      if (values.length < 4) return;
      const centre = medianInPlace(values);
      // The median of n values has taken part of the scatter with it.
      const freedom = Math.sqrt(values.length / (values.length - 1));
      for (const i of group) {
        const value = (Math.abs(column[i]! - centre) * freedom) / error(i);
        if (Number.isFinite(value)) into.push(value);
      }
    };
    const width = medianInPlace(group.map((i) => table.fwhm[i]!));
    const size = medianInPlace(group.map((i) => (table.mxx[i]! + table.myy[i]!) / 2));
    gather(table.fwhm, (i) => fwhmError(table, i, width), pull.fwhm);
    gather(table.mxx, (i) => momentError(table, i, size), pull.moment);
    gather(table.skewX, (i) => skewError(table, i), pull.skew);
  }
  const scale = (values: readonly number[]): number =>
    values.length < 10 ? 1 : Math.min(20, Math.max(0.7, 1.4826 * medianInPlace([...values])));
  return { fwhm: scale(pull.fwhm), moment: scale(pull.moment), skew: scale(pull.skew) };
}

/** Error of a star's width among stars of a typical width, pixels. */
function fwhmError(table: StarTable, i: number, width: number): number {
  return inSquares(finiteOr(table.fwhmError[i]!, 0), INTRINSIC * width);
}

/** Error of a star's moments among stars of a typical moment, pixel^2. */
function momentError(table: StarTable, i: number, size: number): number {
  return inSquares(finiteOr(table.mError[i]!, 0), 2 * INTRINSIC * size);
}

function skewError(table: StarTable, i: number): number {
  return inSquares(finiteOr(table.skewError[i]!, 0.05), INTRINSIC);
}

function meanStar(
  table: StarTable,
  members: readonly number[],
  column: number,
  row: number,
  scale: ScatterScale,
): FieldCell {
  const mean = (values: Float64Array, error: (i: number) => number): ClippedMean =>
    clippedMean(
      members.map((i) => values[i]!),
      members.map(error),
    );
  // One size for the whole cell: an error that grows with the star's own size would favour the small stars of a slope.
  const size = medianInPlace(members.map((i) => (table.mxx[i]! + table.myy[i]!) / 2));
  const width = medianInPlace(members.map((i) => table.fwhm[i]!));
  const ofSkew = (i: number): number => scale.skew * skewError(table, i);
  const ofShape = (i: number): number => inSquares(finiteOr(table.eError[i]!, 0.05), INTRINSIC);
  const fwhm = mean(table.fwhm, (i) => scale.fwhm * fwhmError(table, i, width));
  const e1 = mean(table.e1, ofShape);
  const e2 = mean(table.e2, ofShape);
  const tensor = meanTensor(table, members, (i) => scale.moment * momentError(table, i, size));
  const skewX = mean(table.skewX, ofSkew);
  const skewY = mean(table.skewY, ofSkew);
  // The length of a noisy vector is too long by its own noise: take that out in squares.
  const noise = e1.error ** 2 + e2.error ** 2;
  const e = Math.min(0.98, Math.sqrt(Math.max(0, e1.value ** 2 + e2.value ** 2 - noise)));
  return {
    column,
    row,
    ...tensor,
    stars: fwhm.count,
    fwhmPx: fwhm.value,
    fwhmErrorPx: fwhm.error,
    elongation: Math.sqrt((1 + e) / (1 - e)),
    angleDeg: axisDeg(e1.value, e2.value),
    skewX: skewX.value,
    skewY: skewY.value,
    skewError: (skewX.error + skewY.error) / 2,
  };
}

type MeanTensor = Pick<FieldCell, 'x' | 'y' | 'spreadPx2' | 'mxx' | 'mxy' | 'myy' | 'mError'>;

/**
 * Mean tensor of a cell's stars with the mean of their places under the same weights, and the places' mean square distance from it: so a
 * plane through cells is that through the stars, and a bowl can be told from a cell's own width. Stars that stray by more than three
 * errors in any component are left out.
 */
function meanTensor(table: StarTable, members: readonly number[], error: (i: number) => number): MeanTensor {
  const columns = [table.mxx, table.mxy, table.myy];
  const middles = columns.map((values) => medianInPlace(members.map((i) => values[i]!)));
  const near = members.filter((i) => {
    const limit = 3 * error(i);
    return columns.every((values, k) => Math.abs(values[i]! - middles[k]!) <= limit);
  });
  const used = members.length < 3 || near.length === 0 ? members : near;
  const weights = used.map((i) => 1 / error(i) ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (pick: (i: number) => number): number =>
    used.reduce((sum, i, k) => sum + weights[k]! * pick(i), 0) / total;
  const x = mean((i) => table.x[i]!);
  const y = mean((i) => table.y[i]!);
  return {
    x,
    y,
    spreadPx2: mean((i) => (table.x[i]! - x) ** 2 + (table.y[i]! - y) ** 2),
    mxx: mean((i) => table.mxx[i]!),
    mxy: mean((i) => table.mxy[i]!),
    myy: mean((i) => table.myy[i]!),
    mError: Math.sqrt(1 / total),
  };
}

/** Axis angle of an ellipticity vector, degrees in [0, 180). */
export function axisDeg(e1: number, e2: number): number {
  const angle = (Math.atan2(e2, e1) * 90) / Math.PI;
  return angle < 0 ? angle + 180 : angle;
}

interface ClippedMean {
  readonly value: number;
  readonly error: number;
  readonly count: number;
}

/** Mean of the finite values, each weighing as its error tells; those beyond 3 errors of `centre` left out unless it is NaN. */
function weightedMean(values: readonly number[], errors: readonly number[], centre: number): ClippedMean {
  let weight = 0;
  let sum = 0;
  let count = 0;
  for (let k = 0; k < values.length; k += 1) {
    const value = values[k]!;
    const error = errors[k]!;
    if (!Number.isFinite(value) || Math.abs(value - centre) > 3 * error) continue;
    const w = 1 / (error * error);
    weight += w;
    sum += w * value;
    count += 1;
  }
  return { value: sum / weight, error: Math.sqrt(1 / weight), count };
}

/** Weighted mean of the values within 3 errors (at least 3 MAD) of the median; NaN without a finite value. */
function clippedMean(values: readonly number[], errors: readonly number[]): ClippedMean {
  const finite = values.filter(Number.isFinite);
  if (finite.length === 0) return { value: NaN, error: NaN, count: 0 };
  const centre = finite.length < 3 ? NaN : medianInPlace(finite);
  const within = weightedMean(values, errors, centre);
  return within.count > 0 ? within : weightedMean(values, errors, NaN);
}

/** Independent errors together. The built-in for this makes objects at every call. */
function inSquares(a: number, b: number): number {
  return Math.sqrt(a * a + b * b);
}

function finiteOr(value: number, other: number): number {
  return Number.isFinite(value) && value >= 0 ? value : other;
}

function clampCells(wanted: number): number {
  return Math.min(9, Math.max(3, Math.round(wanted)));
}
