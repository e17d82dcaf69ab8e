import type { PixelPlane } from '../fits/types.js';
import type { BackgroundMap } from '../image/types.js';
import { residentPixels, type Placed, type ResidentPixels } from '../kernels/index.js';
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
/** Light farther than this many robust widths from the median star's belongs to a neighbour or a cosmic ray. */
const CLIP = 3;
/** The core of a star differs from star to star by its place between pixels: this part of the value is no outlier. */
const SAMPLING_PART = 0.1;
/** The kernel's step along the sub-pixels. */
const STRIP = 16;

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
 * A median over the stars comes first, and a star that lies off it by more than three robust widths does not count there, so neighbours
 * vanish as soon as a cell has three stars. A colour mosaic uses its green sites. No good star: cells of zero stars.
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
  const stack = layOutStack(residentPixels(plane.data), sidePx);
  const cells = members.map((stars, i) => ({
    column: i % columns,
    row: Math.floor(i / columns),
    x: meanOf(stars, table.x),
    y: meanOf(stars, table.y),
    stars: stars.length,
    image: stars.length > 0 ? meanImage(plane, table, stars, stack, noise) : new Float32Array(0),
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

/** Room in the kernels' memory for the stars of one cell. */
interface Stack {
  readonly kernels: ResidentPixels['kernels'];
  readonly sidePx: number;
  /** Sub-pixels along a side. */
  readonly side: number;
  /** Pixels along a side of the window round a star. */
  readonly windowPx: number;
  readonly window: Placed<Float32Array>;
  readonly tapsX: Placed<Float32Array>;
  readonly tapsY: Placed<Float32Array>;
  readonly lines: Placed<Float32Array>;
  /** Floats from one star's sub-pixels to the next one's. */
  readonly stride: number;
  readonly values: Placed<Float32Array>;
  readonly weights: Placed<Float32Array>;
  readonly strip: Placed<Float32Array>;
  readonly mean: Placed<Float32Array>;
}

function layOutStack({ kernels, workArea }: ResidentPixels, sidePx: number): Stack {
  const area = workArea();
  const side = sidePx * ATLAS_OVERSAMPLING;
  // What reaches into the star's square from outside, and one more, as pixels are read in pairs.
  const windowPx = sidePx + 2 * Math.ceil(REACH_PX) + 1;
  const stride = Math.ceil((side * side + 3) / STRIP) * STRIP;
  return {
    kernels,
    sidePx,
    side,
    windowPx,
    window: area.floats(windowPx * windowPx),
    tapsX: area.floats(3 * side),
    tapsY: area.floats(3 * side),
    lines: area.floats(2 * windowPx * (side + 3)),
    stride,
    values: area.floats(MAX_STARS_PER_CELL * stride),
    weights: area.floats(MAX_STARS_PER_CELL * stride),
    strip: area.floats(STRIP * (MAX_STARS_PER_CELL + 3)),
    mean: area.floats(stride),
  };
}

function meanImage(
  plane: PixelPlane,
  table: StarTable,
  stars: readonly number[],
  stack: Stack,
  noise: number,
): Float32Array {
  stars.forEach((star, layer) => layStar(plane, table, star, stack, 4 * layer * stack.stride));
  const fluxes = stars.map((i) => table.flux[i]!).sort((a, b) => a - b);
  stack.kernels.meanNearMedian(
    stack.values.address,
    stack.weights.address,
    stars.length,
    stack.stride,
    stack.stride,
    CLIP,
    noise / fluxes[fluxes.length >> 1]!,
    SAMPLING_PART,
    stack.strip.address,
    stack.mean.address,
  );
  return stack.mean.view.slice(0, stack.side * stack.side);
}

/** One star's light at the sub-pixels, `offset` bytes into the stack. */
function layStar(plane: PixelPlane, table: StarTable, star: number, stack: Stack, offset: number): void {
  // 0-based array coordinates of the corner of the star's square.
  const left = table.x[star]! - 1 - stack.sidePx / 2;
  const bottom = table.y[star]! - 1 - stack.sidePx / 2;
  const firstX = Math.floor(left);
  const firstY = Math.floor(bottom);
  setTaps(stack.tapsX.view, left - firstX, stack.side);
  setTaps(stack.tapsY.view, bottom - firstY, stack.side);
  cutWindow(plane, firstX, firstY, table.background[star]!, table.flux[star]!, stack);
  stack.kernels.resampleWindow(
    stack.window.address,
    stack.windowPx,
    stack.windowPx,
    stack.tapsX.address,
    stack.tapsY.address,
    stack.side,
    stack.lines.address,
    stack.values.address + offset,
    stack.weights.address + offset,
  );
}

/** The first of the two pixels within reach of each sub-pixel along one axis, and their weights; `corner`: of the square, in the window. */
function setTaps(taps: Float32Array, corner: number, side: number): void {
  const firsts = new Int32Array(taps.buffer, taps.byteOffset, taps.length);
  for (let sub = 0; sub < side; sub++) {
    const at = corner + (sub + 0.5) / ATLAS_OVERSAMPLING;
    const first = Math.ceil(at - REACH_PX);
    firsts[3 * sub] = first;
    taps[3 * sub + 1] = weightAt(first - at);
    taps[3 * sub + 2] = weightAt(first + 1 - at);
  }
}

function weightAt(distance: number): number {
  if (Math.abs(distance) > REACH_PX) return 0;
  return Math.exp((distance * distance) / (-2 * WEIGHT_SIGMA_PX * WEIGHT_SIGMA_PX));
}

/** The pixels round a star as parts of its flux; NaN for blank ones, those outside the frame and those of another colour than green. */
function cutWindow(
  plane: PixelPlane,
  firstX: number,
  firstY: number,
  sky: number,
  flux: number,
  { window, windowPx }: Stack,
): void {
  const { data, width, height, scale, mosaic } = plane;
  const perFlux = scale / flux;
  const offset = (plane.zero - sky) / flux;
  for (let j = 0; j < windowPx; j++) {
    const y = firstY + j;
    for (let i = 0; i < windowPx; i++) {
      const x = firstX + i;
      const isUsed =
        x >= 0 &&
        x < width &&
        y >= 0 &&
        y < height &&
        (mosaic === null || mosaic.cell[(y % 2) * 2 + (x % 2)] === 'G');
      const value = isUsed ? data[y * width + x]! * perFlux + offset : NaN;
      window.view[j * windowPx + i] = value - value === 0 ? value : NaN;
    }
  }
}
