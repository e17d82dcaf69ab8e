import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap } from '../image/types.js';
import { goodStars } from './good-stars.js';
import type { StarTable } from '../stars/types.js';

/** Sub-pixels per sensor pixel of a mean star, along each axis. */
export const ATLAS_OVERSAMPLING = 3;
/** Side of a mean star in units of the frame's star width: the core and enough of the wings to see a flare. */
const SIDE_IN_FWHM = 5;
const MIN_SIDE_PX = 9;
const MAX_SIDE_PX = 41;
/** More stars than this do not make the mean visibly smoother. */
const MAX_STARS_PER_CELL = 20;
const MIN_SNR = 15;
/** Radius and width (sensor pixels) of the weight with which a pixel speaks for a sub-pixel near it. */
const REACH_PX = 0.7;
const WEIGHT_SIGMA_PX = 0.3;
/** Samples farther than this many robust widths from the sub-pixel's median belong to a neighbour or a cosmic ray. */
const CLIP = 3;

/** The mean star of one field cell. */
export interface AtlasCell {
  readonly column: number;
  /** 0 = bottom row of the sensor (small y). */
  readonly row: number;
  /** Mean position of the stars, FITS pixels. */
  readonly x: number;
  readonly y: number;
  /** Stars averaged; 0: no mean star. */
  readonly stars: number;
  /** Light per sub-pixel as a part of the star's total flux (per sensor pixel), row 0 at the bottom; NaN where unknown. Empty without stars. */
  readonly image: Float32Array;
}

/** Mean stars over a frame, in the order of the cells: row by row from the bottom, left to right. */
export interface StarAtlas {
  readonly columns: number;
  readonly rows: number;
  readonly frameWidthPx: number;
  readonly frameHeightPx: number;
  /** Side of each image in sensor pixels (odd) and in sub-pixels. */
  readonly sidePx: number;
  readonly sideSubPixels: number;
  readonly oversampling: number;
  readonly cells: readonly AtlasCell[];
}

/**
 * The mean star of each field cell: its good stars registered to a fraction of a pixel, scaled to equal flux and averaged robustly,
 * three times oversampled; what a corner star looks like without hunting for one.
 *
 * Every pixel speaks for the sub-pixels near it, with a weight that falls with distance; the star's sub-pixel position makes the
 * raster of different stars fall between each other (the idea of Fruchter & Hook 2002, PASP 114, 144, without their drops).
 * A median over the stars comes first, and what lies off it by more than three robust widths is left out, so neighbours vanish
 * as soon as a cell has three stars. A colour mosaic uses its green sites. No good star: cells of zero stars.
 */
export function meanStars(plane: PixelPlane, background: BackgroundMap, table: StarTable): StarAtlas {
  // Brightest first, the order of the table.
  const good = goodStars(table).filter((i) => table.snr[i]! >= MIN_SNR && table.flux[i]! > 0);
  const [columns, rows] = gridFor(good.length, plane.width, plane.height);
  const sidePx = sideFor(good, table);
  const noise = background.medianNoise > 0 ? background.medianNoise : 1;
  const members: number[][] = Array.from({ length: columns * rows }, () => []);
  for (const star of good) {
    const column = cellIndex(table.x[star]!, plane.width, columns);
    const row = cellIndex(table.y[star]!, plane.height, rows);
    const cell = members[row * columns + column]!;
    if (cell.length < MAX_STARS_PER_CELL) cell.push(star);
  }
  const cells = members.map((stars, i) => ({
    column: i % columns,
    row: Math.floor(i / columns),
    x: meanOf(stars, table.x),
    y: meanOf(stars, table.y),
    stars: stars.length,
    image: stars.length > 0 ? meanImage(plane, table, stars, sidePx, noise) : new Float32Array(0),
  }));
  return {
    columns,
    rows,
    frameWidthPx: plane.width,
    frameHeightPx: plane.height,
    sidePx,
    sideSubPixels: sidePx * ATLAS_OVERSAMPLING,
    oversampling: ATLAS_OVERSAMPLING,
    cells,
  };
}

/** Odd counts, so that there is a centre and there are corners; fewer cells when stars are few. */
function gridFor(stars: number, width: number, height: number): [columns: number, rows: number] {
  const long = stars >= 75 ? 5 : 3;
  const short = 2 * Math.round((long * (Math.min(width, height) / Math.max(width, height)) - 1) / 2) + 1;
  const other = Math.min(long, Math.max(1, short));
  return width >= height ? [long, other] : [other, long];
}

function cellIndex(position: number, length: number, cells: number): number {
  return Math.min(cells - 1, Math.max(0, Math.floor(((position - 0.5) / length) * cells)));
}

function sideFor(good: readonly number[], table: StarTable): number {
  const widths = good
    .map((i) => table.fwhm[i]!)
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  const fwhm = widths.length > 0 ? widths[widths.length >> 1]! : 3;
  const side = Math.min(MAX_SIDE_PX, Math.max(MIN_SIDE_PX, Math.ceil(SIDE_IN_FWHM * fwhm)));
  return side % 2 === 1 ? side : side + 1;
}

function meanOf(stars: readonly number[], column: Float64Array): number {
  return stars.length > 0 ? stars.reduce((sum, i) => sum + column[i]!, 0) / stars.length : NaN;
}

/** Normalised pixels of a cell's stars, sorted into the sub-pixels they speak for. */
interface Samples {
  readonly value: Float32Array;
  readonly weight: Float32Array;
  /** Samples of sub-pixel i: from first[i] to first[i + 1]. */
  readonly first: Uint32Array;
}

function meanImage(
  plane: PixelPlane,
  table: StarTable,
  stars: readonly number[],
  sidePx: number,
  noise: number,
): Float32Array {
  const side = sidePx * ATLAS_OVERSAMPLING;
  const samples = gather(plane, table, stars, sidePx);
  const image = new Float32Array(side * side);
  const fluxes = stars.map((i) => table.flux[i]!).sort((a, b) => a - b);
  const floor = noise / fluxes[fluxes.length >> 1]!;
  const scratch = new Float32Array(samples.value.length);
  for (let i = 0; i < image.length; i++) {
    image[i] = robustMean(samples, samples.first[i]!, samples.first[i + 1]!, floor, scratch);
  }
  return image;
}

/** Two passes over the stars' windows: the first counts the samples of each sub-pixel, so that one array holds them all. */
function gather(plane: PixelPlane, table: StarTable, stars: readonly number[], sidePx: number): Samples {
  const side = sidePx * ATLAS_OVERSAMPLING;
  const first = new Uint32Array(side * side + 1);
  const counts = { value: new Float32Array(0), weight: new Float32Array(0), next: first.subarray(1) };
  for (const star of stars) spread(plane, table, star, sidePx, counts);
  for (let i = 0; i < side * side; i++) first[i + 1]! += first[i]!;
  const total = first[side * side]!;
  const filled = {
    value: new Float32Array(total),
    weight: new Float32Array(total),
    next: first.slice(0, side * side),
  };
  for (const star of stars) spread(plane, table, star, sidePx, filled);
  return { value: filled.value, weight: filled.weight, first };
}

/** Where samples go: `next[i]` is where the next sample of sub-pixel i is written (or only counted, when there is no room at all). */
interface Sink {
  readonly value: Float32Array;
  readonly weight: Float32Array;
  readonly next: Uint32Array;
}

/** Weights of a pixel for the sub-pixels `low` to `high` along one axis, by their distance in sensor pixels. */
function axisWeights(at: number, low: number, high: number, into: Float64Array): void {
  for (let sub = low; sub <= high; sub++) {
    const distance = (sub - at) / ATLAS_OVERSAMPLING;
    into[sub - low] = Math.exp((distance * distance) / (-2 * WEIGHT_SIGMA_PX * WEIGHT_SIGMA_PX));
  }
}

// Weights along the two axes; as many as sub-pixels lie within reach on both sides.
const weightsX = new Float64Array(2 * Math.ceil(REACH_PX * ATLAS_OVERSAMPLING) + 2);
const weightsY = new Float64Array(weightsX.length);

// Hot: every pixel of every averaged star, some dozen sub-pixels each.
function spread(plane: PixelPlane, table: StarTable, star: number, sidePx: number, sink: Sink): void {
  const side = sidePx * ATLAS_OVERSAMPLING;
  const half = sidePx / 2;
  const reach = REACH_PX * ATLAS_OVERSAMPLING;
  const counting = sink.value.length === 0;
  // 0-based array coordinates of the star's centre; sub-pixel (0, 0) is centred half a sub-pixel inside the window's corner.
  const centreX = table.x[star]! - 1;
  const centreY = table.y[star]! - 1;
  const flux = table.flux[star]!;
  const sky = table.background[star]!;
  const firstX = Math.max(0, Math.ceil(centreX - half - REACH_PX));
  const lastX = Math.min(plane.width - 1, Math.floor(centreX + half + REACH_PX));
  const firstY = Math.max(0, Math.ceil(centreY - half - REACH_PX));
  const lastY = Math.min(plane.height - 1, Math.floor(centreY + half + REACH_PX));
  for (let y = firstY; y <= lastY; y++) {
    const atY = (y - centreY + half) * ATLAS_OVERSAMPLING - 0.5;
    const lowY = Math.max(0, Math.ceil(atY - reach));
    const highY = Math.min(side - 1, Math.floor(atY + reach));
    if (!counting) axisWeights(atY, lowY, highY, weightsY);
    for (let x = firstX; x <= lastX; x++) {
      if (plane.mosaic && plane.mosaic.cell[(y % 2) * 2 + (x % 2)] !== 'G') continue;
      const value = (plane.data[y * plane.width + x]! * plane.scale + plane.zero - sky) / flux;
      if (value - value !== 0) continue; // a blank pixel
      const atX = (x - centreX + half) * ATLAS_OVERSAMPLING - 0.5;
      const lowX = Math.max(0, Math.ceil(atX - reach));
      const highX = Math.min(side - 1, Math.floor(atX + reach));
      if (!counting) axisWeights(atX, lowX, highX, weightsX);
      for (let v = lowY; v <= highY; v++) {
        const weightY = weightsY[v - lowY]!;
        for (let u = lowX; u <= highX; u++) {
          const slot = sink.next[v * side + u]!++;
          if (counting) continue;
          sink.value[slot] = value;
          sink.weight[slot] = weightY * weightsX[u - lowX]!;
        }
      }
    }
  }
}

/** Weighted mean of the samples within three robust widths of their median; NaN when there are none. */
function robustMean(
  samples: Samples,
  from: number,
  to: number,
  floor: number,
  scratch: Float32Array,
): number {
  const n = to - from;
  if (n === 0) return NaN;
  for (let i = 0; i < n; i++) scratch[i] = samples.value[from + i]!;
  const middle = n >> 1;
  const median = select(scratch, 0, n - 1, middle);
  // Selecting has split the values about the median, so each quartile is found in its own half.
  const upper = select(scratch, middle, n - 1, (3 * n) >> 2);
  const lower = select(scratch, 0, middle, n >> 2);
  // The core of a star differs from star to star by its place between pixels: a tenth of the value is no outlier.
  const limit = CLIP * Math.max((upper - lower) / 1.349, floor, 0.1 * Math.abs(median));
  let sum = 0;
  let weights = 0;
  for (let i = from; i < to; i++) {
    if (n >= 3 && Math.abs(samples.value[i]! - median) > limit) continue;
    sum += samples.value[i]! * samples.weight[i]!;
    weights += samples.weight[i]!;
  }
  return weights > 0 ? sum / weights : median;
}

/** The value of rank k between two places, by Hoare's selection; reorders that part of the array. */
function select(values: Float32Array, left: number, right: number, k: number): number {
  while (left < right) {
    const pivot = values[(left + right) >> 1]!;
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const held = values[i]!;
        values[i++] = values[j]!;
        values[j--] = held;
      }
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return values[k]!;
}
