import type { MosaicColour, PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';

/** A plane made small: mean physical values of square blocks, top row first (FITS row 0 is at the bottom). */
export interface SmallPlane {
  readonly width: number;
  readonly height: number;
  /** One channel (monochrome) or three (red, green, blue); NaN where a block has no value. ADU, length width x height each. */
  readonly channels: readonly Float32Array[];
}

/** Rows read of a block (pairs of rows in a mosaic): every second of a large one, every third of a larger one, where no star slips between. */
const HALVED_FROM = 8;
const THIRDED_FROM = 12;

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
  const channels = means(plane, block, width, height);
  return { width, height, channels };
}

function means(plane: PixelPlane, block: number, width: number, height: number): Float32Array[] {
  const colours: readonly (MosaicColour | null)[] = plane.mosaic ? ['R', 'G', 'B'] : [null];
  const outs = colours.map(() => new Float32Array(width * height));
  // What a row of blocks sums to in each colour.
  const sums = colours.map(() => new Float64Array(width));
  const counts = colours.map(() => new Float64Array(width));
  const cellRows = plane.mosaic ? 2 : 1;
  const thinning = block < HALVED_FROM ? 1 : plane.mosaic || block < THIRDED_FROM ? 2 : 3;
  const rowStep = thinning * cellRows;
  const { kernels, address, isFloat, workArea } = residentPixels(plane.data);
  const area = workArea();
  const used = Math.min(width * block, plane.width);
  const line = area.floats(2 * used);
  const found = area.doubles(4 * width);
  for (let row = 0; row < height; row++) {
    for (const list of [...sums, ...counts]) list.fill(0);
    const bottom = row * block;
    const top = Math.min(bottom + block, plane.height);
    for (let y = bottom; y < bottom + cellRows; y++) {
      kernels.blockSums(
        address,
        isFloat,
        plane.width,
        y,
        top,
        rowStep,
        block,
        used,
        line.address,
        found.address,
      );
      // Blocks of a mosaic are even-sided: their even columns have one colour in a row, their odd ones another.
      for (let odd = 0; odd < 2; odd++) {
        const colour = plane.mosaic ? colours.indexOf(plane.mosaic.cell[(y % 2) * 2 + odd]!) : 0;
        for (let column = 0; column < width; column++) {
          sums[colour]![column]! += found.view[4 * column + odd]!;
          counts[colour]![column]! += found.view[4 * column + 2 + odd]!;
        }
      }
    }
    outs.forEach((out, c) => writeMeans(out, (height - 1 - row) * width, sums[c]!, counts[c]!, plane));
  }
  return outs;
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
