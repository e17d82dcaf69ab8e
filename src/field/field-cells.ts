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
  const members: number[][] = Array.from({ length: columns * rows }, () => []);
  for (const i of good) {
    const column = Math.min(columns - 1, Math.max(0, Math.floor(((table.x[i]! - 0.5) / widthPx) * columns)));
    const row = Math.min(rows - 1, Math.max(0, Math.floor(((table.y[i]! - 0.5) / heightPx) * rows)));
    members[row * columns + column]!.push(i);
  }
  const desk: Desk = {
    values: new Float64Array(good.length),
    errors: new Float64Array(good.length),
    sorted: new Float64Array(good.length),
  };
  const scale = frameScatter(table, members, desk);
  const cells: FieldCell[] = [];
  members.forEach((stars, key) => {
    if (stars.length > 0)
      cells.push(meanStar(table, stars, key % columns, Math.floor(key / columns), scale, desk));
  });
  return { columns, rows, cells };
}

/** Room for one figure of the stars of one cell: numbers side by side keep these many short loops fast. */
interface Desk {
  readonly values: Float64Array;
  readonly errors: Float64Array;
  readonly sorted: Float64Array;
}

/** Put a column's entries for some stars into `into`. */
function take(column: Float64Array, stars: readonly number[], into: Float64Array): void {
  for (let k = 0; k < stars.length; k += 1) into[k] = column[stars[k]!]!;
}

/** The same of the finite entries only; returns how many. */
function takeFinite(column: Float64Array, stars: readonly number[], into: Float64Array): number {
  let n = 0;
  for (const i of stars) if (Number.isFinite(column[i]!)) into[n++] = column[i]!;
  return n;
}

function medianOver(column: Float64Array, stars: readonly number[], { sorted }: Desk): number {
  return medianInPlace(sorted, takeFinite(column, stars, sorted));
}

/** Median of (Mxx + Myy)/2 over some stars. */
function medianSize({ mxx, myy }: StarTable, stars: readonly number[], { sorted }: Desk): number {
  for (let k = 0; k < stars.length; k += 1) sorted[k] = (mxx[stars[k]!]! + myy[stars[k]!]!) / 2;
  return medianInPlace(sorted, stars.length);
}

/** How much larger the star-to-star scatter within cells is than the formal errors, for widths, moments, shapes and skewness. */
interface ScatterScale {
  readonly fwhm: number;
  readonly moment: number;
  readonly skew: number;
}

function frameScatter(table: StarTable, groups: readonly (readonly number[])[], desk: Desk): ScatterScale {
  const pull = { fwhm: [] as number[], moment: [] as number[], skew: [] as number[] };
  for (const group of groups) {
    if (group.length < 4) continue;
    widthErrors(table, group, 1, desk);
    addPulls(table.fwhm, group, desk, pull.fwhm);
    momentErrors(table, group, 1, desk);
    addPulls(table.mxx, group, desk, pull.moment);
    skewErrors(table, group, 1, desk);
    addPulls(table.skewX, group, desk, pull.skew);
  }
  const scale = (values: readonly number[]): number =>
    values.length < 10 ? 1 : Math.min(20, Math.max(0.7, 1.4826 * medianInPlace(values)));
  return { fwhm: scale(pull.fwhm), moment: scale(pull.moment), skew: scale(pull.skew) };
}

/** Distances of a group's values from their median, in the errors on the desk, to `into`. */
function addPulls(column: Float64Array, group: readonly number[], desk: Desk, into: number[]): void {
  const n = takeFinite(column, group, desk.sorted);
  if (n < 4) return;
  const centre = medianInPlace(desk.sorted, n);
  // The median of n values has taken part of the scatter with it.
  const freedom = Math.sqrt(n / (n - 1));
  for (let k = 0; k < group.length; k += 1) {
    const value = (Math.abs(column[group[k]!]! - centre) * freedom) / desk.errors[k]!;
    if (Number.isFinite(value)) into.push(value);
  }
}

/** Errors of the widths among stars of a typical width, times `scale`, pixels. */
function widthErrors(table: StarTable, stars: readonly number[], scale: number, desk: Desk): void {
  // One size for the whole cell: an error that grows with the star's own size would favour the small stars of a slope.
  const own = INTRINSIC * medianOver(table.fwhm, stars, desk);
  for (let k = 0; k < stars.length; k += 1)
    desk.errors[k] = scale * inSquares(finiteOr(table.fwhmError[stars[k]!]!, 0), own);
}

/** Errors of the moments among stars of a typical moment, times `scale`, pixel^2. */
function momentErrors(table: StarTable, stars: readonly number[], scale: number, desk: Desk): void {
  const own = 2 * INTRINSIC * medianSize(table, stars, desk);
  for (let k = 0; k < stars.length; k += 1)
    desk.errors[k] = scale * inSquares(finiteOr(table.mError[stars[k]!]!, 0), own);
}

/** Errors of the third moments, times `scale`. */
function skewErrors(table: StarTable, stars: readonly number[], scale: number, { errors }: Desk): void {
  for (let k = 0; k < stars.length; k += 1)
    errors[k] = scale * inSquares(finiteOr(table.skewError[stars[k]!]!, 0.05), INTRINSIC);
}

/** Errors of the ellipticities. */
function shapeErrors(table: StarTable, stars: readonly number[], { errors }: Desk): void {
  for (let k = 0; k < stars.length; k += 1)
    errors[k] = inSquares(finiteOr(table.eError[stars[k]!]!, 0.05), INTRINSIC);
}

function meanStar(
  table: StarTable,
  stars: readonly number[],
  column: number,
  row: number,
  scale: ScatterScale,
  desk: Desk,
): FieldCell {
  const mean = (values: Float64Array): ClippedMean => {
    take(values, stars, desk.values);
    return clippedMean(desk, stars.length);
  };
  widthErrors(table, stars, scale.fwhm, desk);
  const fwhm = mean(table.fwhm);
  shapeErrors(table, stars, desk);
  const e1 = mean(table.e1);
  const e2 = mean(table.e2);
  momentErrors(table, stars, scale.moment, desk);
  const tensor = meanTensor(table, stars, desk);
  skewErrors(table, stars, scale.skew, desk);
  const skewX = mean(table.skewX);
  const skewY = mean(table.skewY);
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
 * of the errors on the desk in any component are left out.
 */
function meanTensor(table: StarTable, stars: readonly number[], desk: Desk): MeanTensor {
  const { mxx, mxy, myy, x, y } = table;
  const { errors, values: weights } = desk;
  const middle = {
    mxx: medianOver(mxx, stars, desk),
    mxy: medianOver(mxy, stars, desk),
    myy: medianOver(myy, stars, desk),
  };
  let near = 0;
  for (let k = 0; k < stars.length; k += 1) {
    const i = stars[k]!;
    const limit = 3 * errors[k]!;
    const isNear =
      Math.abs(mxx[i]! - middle.mxx) <= limit &&
      Math.abs(mxy[i]! - middle.mxy) <= limit &&
      Math.abs(myy[i]! - middle.myy) <= limit;
    weights[k] = isNear ? 1 / (errors[k]! * errors[k]!) : 0;
    if (isNear) near += 1;
  }
  if (stars.length < 3 || near === 0)
    for (let k = 0; k < stars.length; k += 1) weights[k] = 1 / (errors[k]! * errors[k]!);
  let total = 0;
  const sum = { x: 0, y: 0, mxx: 0, mxy: 0, myy: 0 };
  for (let k = 0; k < stars.length; k += 1) {
    const i = stars[k]!;
    const weight = weights[k]!;
    total += weight;
    sum.x += weight * x[i]!;
    sum.y += weight * y[i]!;
    sum.mxx += weight * mxx[i]!;
    sum.mxy += weight * mxy[i]!;
    sum.myy += weight * myy[i]!;
  }
  const centre = { x: sum.x / total, y: sum.y / total };
  let spread = 0;
  for (let k = 0; k < stars.length; k += 1) {
    const dx = x[stars[k]!]! - centre.x;
    const dy = y[stars[k]!]! - centre.y;
    spread += weights[k]! * (dx * dx + dy * dy);
  }
  return {
    x: centre.x,
    y: centre.y,
    spreadPx2: spread / total,
    mxx: sum.mxx / total,
    mxy: sum.mxy / total,
    myy: sum.myy / total,
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

/** Mean of the first finite values on the desk, each weighing as its error tells; those beyond 3 errors of `centre` left out unless it is NaN. */
function weightedMean({ values, errors }: Desk, length: number, centre: number): ClippedMean {
  let weight = 0;
  let sum = 0;
  let count = 0;
  for (let k = 0; k < length; k += 1) {
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

/** Weighted mean of the values on the desk within 3 errors of their median; NaN without a finite value. */
function clippedMean(desk: Desk, length: number): ClippedMean {
  const { values, sorted } = desk;
  let finite = 0;
  for (let k = 0; k < length; k += 1) if (Number.isFinite(values[k]!)) sorted[finite++] = values[k]!;
  if (finite === 0) return { value: NaN, error: NaN, count: 0 };
  const centre = finite < 3 ? NaN : medianInPlace(sorted, finite);
  const within = weightedMean(desk, length, centre);
  return within.count > 0 ? within : weightedMean(desk, length, NaN);
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
