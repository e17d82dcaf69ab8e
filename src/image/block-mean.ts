import type { MosaicColour, PixelPlane } from '../fits/types.js';

/** A plane made small: mean physical values of square blocks, top row first (FITS row 0 is at the bottom). */
export interface SmallPlane {
  readonly width: number;
  readonly height: number;
  /** One channel (monochrome) or three (red, green, blue); NaN where a block has no value. ADU, length width x height each. */
  readonly channels: readonly Float32Array[];
}

/** Blocks of this many pixels and more read every other row (pair of rows in a mosaic): no star slips between, at half the cost. */
const THINNED_FROM = 8;

/**
 * Shrink a plane to at most `maxWidthPx` wide by the mean of whole blocks; the rest of a block at the far edges is left out.
 *
 * Mosaic planes give three channels, each the mean of its own sites, so the blocks are even-sided. A plane smaller than
 * `maxWidthPx` keeps its size (a mosaic becomes half as wide; under 2 pixels a side it is a RangeError). Blank pixels do not count. RangeError for an empty plane.
 */
export function blockMean(plane: PixelPlane, maxWidthPx: number): SmallPlane {
  if (plane.width < 1 || plane.height < 1) throw new RangeError('an empty plane has no small picture');
  const step = plane.mosaic ? 2 : 1;
  if (plane.width < step || plane.height < step) throw new RangeError('a colour mosaic needs 2 x 2 pixels');
  const wanted = Math.ceil(plane.width / maxWidthPx);
  const block = Math.max(step, Math.ceil(wanted / step) * step);
  const width = Math.max(1, Math.floor(plane.width / block));
  const height = Math.max(1, Math.floor(plane.height / block));
  const channels = plane.mosaic
    ? mosaicMeans(plane, block, width, height)
    : [monoMeans(plane, block, width, height)];
  return { width, height, channels };
}

function monoMeans(plane: PixelPlane, block: number, width: number, height: number): Float32Array {
  const out = new Float32Array(width * height);
  const sums = new Float64Array(width);
  const counts = new Float64Array(width);
  const rowStep = block >= THINNED_FROM ? 2 : 1;
  for (let row = 0; row < height; row++) {
    sums.fill(0);
    counts.fill(0);
    for (let inner = 0; inner < Math.min(block, plane.height); inner += rowStep) {
      const start = (row * block + inner) * plane.width;
      if (plane.data instanceof Uint16Array) addIntegers(plane.data, start, block, plane.width, sums, counts);
      else addFloats(plane.data, start, 1, block, plane.width, sums, counts);
    }
    writeMeans(out, (height - 1 - row) * width, sums, counts, plane);
  }
  return out;
}

function mosaicMeans(plane: PixelPlane, block: number, width: number, height: number): Float32Array[] {
  const colours: readonly MosaicColour[] = ['R', 'G', 'B'];
  const outs = colours.map(() => new Float32Array(width * height));
  const sums = colours.map(() => new Float64Array(width));
  const counts = colours.map(() => new Float64Array(width));
  const pairStep = block >= THINNED_FROM ? 4 : 2;
  for (let row = 0; row < height; row++) {
    for (let c = 0; c < 3; c++) {
      sums[c]!.fill(0);
      counts[c]!.fill(0);
    }
    for (let inner = 0; inner < Math.min(block, plane.height); inner++) {
      if (inner % pairStep >= 2) continue;
      const y = row * block + inner;
      const left = colours.indexOf(plane.mosaic!.cell[(y % 2) * 2]!);
      const right = colours.indexOf(plane.mosaic!.cell[(y % 2) * 2 + 1]!);
      const start = y * plane.width;
      if (plane.data instanceof Uint16Array) {
        addIntegerPairs(plane.data, start, block, plane.width, sums[left]!, sums[right]!);
        for (let i = 0; i < width; i++) {
          counts[left]![i]! += block / 2;
          counts[right]![i]! += block / 2;
        }
      } else {
        addFloats(plane.data, start, 2, block, plane.width, sums[left]!, counts[left]!);
        addFloats(plane.data, start + 1, 2, block, plane.width - 1, sums[right]!, counts[right]!);
      }
    }
    for (let c = 0; c < 3; c++) writeMeans(outs[c]!, (height - 1 - row) * width, sums[c]!, counts[c]!, plane);
  }
  return outs;
}

// The loops below are hot: they pass over the pixels of a whole frame. Integers have no blanks, so their count is known
// beforehand, and one block of a row sums to less than 2^31 (32,767 pixels of 65,535): integer registers will do.

function addIntegers(
  data: Uint16Array,
  start: number,
  block: number,
  rowLength: number,
  sums: Float64Array,
  counts: Float64Array,
): void {
  const perBlock = Math.min(block, rowLength);
  let at = start;
  for (let column = 0; column < sums.length; column++) {
    const end = at + perBlock;
    let sum = 0;
    for (; at < end; at++) sum = (sum + data[at]!) | 0;
    sums[column]! += sum;
    counts[column]! += perBlock;
  }
}

function addIntegerPairs(
  data: Uint16Array,
  start: number,
  block: number,
  rowLength: number,
  leftSums: Float64Array,
  rightSums: Float64Array,
): void {
  const perBlock = Math.min(block, rowLength - 1);
  let at = start;
  for (let column = 0; column < leftSums.length; column++) {
    const end = at + perBlock;
    let left = 0;
    let right = 0;
    for (; at < end; at += 2) {
      left = (left + data[at]!) | 0;
      right = (right + data[at + 1]!) | 0;
    }
    leftSums[column]! += left;
    rightSums[column]! += right;
  }
}

function addFloats(
  data: Float32Array,
  start: number,
  step: 1 | 2,
  block: number,
  reach: number,
  sums: Float64Array,
  counts: Float64Array,
): void {
  let at = start;
  for (let column = 0; column < sums.length; column++) {
    const end = start + Math.min((column + 1) * block, reach);
    for (; at < end; at += step) {
      const value = data[at]!;
      if (value - value !== 0) continue; // NaN and infinities
      sums[column]! += value;
      counts[column]!++;
    }
  }
}

function writeMeans(
  out: Float32Array,
  start: number,
  sums: Float64Array,
  counts: Float64Array,
  plane: PixelPlane,
): void {
  for (let column = 0; column < sums.length; column++) {
    out[start + column] =
      counts[column]! > 0 ? (sums[column]! / counts[column]!) * plane.scale + plane.zero : NaN;
  }
}
