import type { PixelPlane } from '../fits/types.js';
import { residentPixels, type KernelExports, type WorkArea } from '../kernels/index.js';
import { greenParity } from './green-sites.js';
import { makeSkyLines, placeSkyTiles, type SkyLines } from './sky-lines.js';
import { spikeRatio } from './spike.js';
import type { BackgroundMap } from './types.js';

/** A plane seen as blocks of `bin` x `bin` pixels, row after row, in the kernels' memory. */
export interface BlockSource {
  readonly kernels: KernelExports;
  readonly area: WorkArea;
  readonly bin: number;
  readonly columns: number;
  readonly rows: number;
  /** 1: blocks are 32-bit floats; 0: unsigned 16-bit integers. */
  readonly isFloat: 0 | 1;
  /** Blocks from one row to the next in memory. */
  readonly stride: number;
  /** Noise of a block's mean over that of a pixel. */
  readonly quiet: number;
  /** Height of its neighbours under which a bright pixel is a spike; see `spikeRatio`. Blocks of several pixels come without spikes. */
  readonly ratio: number;
  /** The sky along the rows of the present group. */
  readonly sky: SkyLines;
  /** Makes the rows first..end-1 one after the other at `address`; returns how many spikes were counted as sky. Null where the pixels themselves are the blocks. */
  readonly make: ((first: number, end: number, address: number) => number) | null;
  readonly pixels: number;
}

/** Some rows of blocks, first..end-1; the six before them lie before them, as far as the rows asked for reach. */
export interface BlockRows {
  readonly address: number;
  readonly first: number;
  readonly end: number;
  /** The first of the rows asked for. */
  readonly start: number;
}

/** Rows that stay for those who look back. */
export const ROWS_KEPT = 6;
const BUFFER_ROWS = 64;
/** Whole numbers do for means whose noise is this many of their steps: rounding adds a third of a step, one hundredth of signal to noise. */
const FINE_NOISE = 2;
/** Pixels higher than this many sd may be spikes. */
const SPIKE_ABOVE = 6;

/** Blocks of `bin` pixels (a power of two) for stars of half-flux diameter `scalePx`; on a mosaic those of green sites. Takes the kernels' whole work area. */
export function openBlocks(
  plane: PixelPlane,
  background: BackgroundMap,
  bin: number,
  scalePx: number,
): BlockSource {
  const resident = residentPixels(plane.data);
  const { kernels } = resident;
  const area = resident.workArea();
  const parity = greenParity(plane.mosaic);
  const columns = Math.floor(plane.width / bin);
  const rows = Math.floor(plane.height / bin);
  const ratio = spikeRatio(scalePx, parity === null ? 1 : Math.SQRT2);
  // Averaging n pixels leaves noise / sqrt(n).
  const quiet = 1 / Math.sqrt(parity === null || bin === 1 ? bin * bin : (bin * bin) / 2);
  const tiles = placeSkyTiles(area, plane, background);
  const sky = makeSkyLines(kernels, area, tiles, bin, columns);
  const common = { kernels, area, bin, columns, rows, quiet, ratio, sky, pixels: resident.address };
  if (bin === 1) return { isFloat: resident.isFloat, stride: plane.width, make: null, ...common };

  // Vectors are written whole.
  const stride = 16 * Math.ceil(columns / 16);
  const lowest = background.noise.reduce((a, b) => Math.min(a, b), Infinity) / Math.abs(plane.scale);
  if (resident.isFloat || !(lowest * quiet >= FINE_NOISE)) {
    const make = (first: number, end: number, address: number): number => {
      let spikes = 0;
      for (let row = first; row < end; row += 1)
        spikes += kernels.binRow(
          resident.address,
          resident.isFloat,
          plane.width,
          plane.height,
          bin,
          parity ?? -1,
          row,
          columns,
          8,
          sky.level.address,
          sky.noise.address,
          ratio,
          address + 4 * (row - first) * stride,
        );
      return spikes;
    };
    return { isFloat: 1, stride, make, ...common };
  }

  const halves = bin === 2 ? sky : makeSkyLines(kernels, area, tiles, 2, columns * (bin / 2));
  const limits = halves.limits(SPIKE_ABOVE, 0);
  /** Two rows of each finer size of blocks, from which the next is made. */
  const finer = Array.from({ length: Math.log2(bin) }, (_, k) => {
    const finerStride = stride << k;
    return { stride: finerStride, address: k === 0 ? 0 : area.bytes(4 * finerStride).address };
  });
  const halve = (row: number, rows: number, depth: number, address: number): number =>
    kernels.halvePixels(
      resident.address,
      plane.width,
      plane.height,
      parity ?? -1,
      row,
      rows,
      columns << depth,
      finer[depth].stride,
      halves.level.address,
      halves.noise.address,
      limits,
      ratio,
      address,
    );
  /** One row of blocks from two of the finer ones. */
  const makeRow = (row: number, depth: number, address: number): number => {
    const two = finer[depth + 1];
    const next = two.address + 2 * two.stride;
    const spikes =
      depth + 2 === finer.length
        ? halve(2 * row, 2, depth + 1, two.address)
        : makeRow(2 * row, depth + 1, two.address) + makeRow(2 * row + 1, depth + 1, next);
    kernels.halveBlocks(two.address, two.stride, columns << depth, address);
    return spikes;
  };
  const make = (first: number, end: number, address: number): number => {
    if (bin === 2) return halve(first, end - first, 0, address);
    halves.readAt(((first + end) / 2) * (bin / 2) - 0.5);
    let spikes = 0;
    for (let row = first; row < end; row += 1)
      spikes += makeRow(row, 0, address + 2 * (row - first) * stride);
    return spikes;
  };
  return { isFloat: 0, stride, make, ...common };
}

/** Shows the rows of blocks from..end-1 in groups of `groupRows`, from first to last; returns how many spikes were counted as sky. */
export function visitBlocks(
  blocks: BlockSource,
  [from, end]: readonly [number, number],
  groupRows: number,
  visit: (group: BlockRows) => void,
): number {
  const { make, stride, isFloat, sky, kernels } = blocks;
  const rowBytes = stride * (isFloat ? 4 : 2);
  const capacity = ROWS_KEPT + Math.max(BUFFER_ROWS, groupRows);
  const buffer =
    make === null ? blocks.pixels + from * rowBytes : blocks.area.bytes(capacity * rowBytes).address;
  const bytes = new Uint8Array(kernels.memory.buffer);
  let filled = 0;
  let spikes = 0;
  for (let first = from; first < end; first += groupRows) {
    const last = Math.min(end, first + groupRows);
    if (make !== null && filled + groupRows > capacity) {
      bytes.copyWithin(buffer, buffer + (filled - ROWS_KEPT) * rowBytes, buffer + filled * rowBytes);
      filled = ROWS_KEPT;
    }
    const address = buffer + filled * rowBytes;
    sky.readAt((first + last - 1) / 2);
    if (make !== null) spikes += make(first, last, address);
    visit({ address, first, end: last, start: from });
    filled += last - first;
  }
  return spikes;
}
