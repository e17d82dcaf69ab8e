import type { PixelPlane } from '../fits/types.js';
import { openBlocks, visitBlocks, type BlockRows, type BlockSource } from './block-rows.js';
import { matchedFilter } from './matched-filter.js';
import { makeRoom, type PeakCollector } from './peak-collector.js';
import { searchBinning } from './search-scale.js';
import type { BackgroundMap } from './types.js';

/** What is looked for. */
export interface PeakSearch {
  /** Half-flux diameter of the star image, pixels. */
  readonly scalePx: number;
  /** Signal to noise in the matched filter. */
  readonly threshold: number;
}

const HALO = 3;
/** Rows of blocks that are searched together, and share one reading of the sky map. */
const GROUP_ROWS = 8;
/** A block this many sd of its noise above the sky is worth a look. */
const WORTH_A_LOOK = 2.8;
/** Where pixels themselves are searched: a peak higher than this many sd may be a spike. */
const SPIKE_ABOVE = 5;
/** A ring this many sd of its blocks' noise above the sky map counts as raised. */
const RAISED = 0.3;
/** Floats of one peak, and those before the first: see the kernel. */
const RECORD = 8;
const HEAD = 4;

/**
 * Local maxima that a matched filter confirms, in strips of the plane (pixel rows firstRow..endRow-1), at the bin factor fit for stars of the size searched.
 * Peaks nearer than three blocks to the border of their strip are left out.
 */
export function findPeaks(
  plane: PixelPlane,
  background: BackgroundMap,
  search: PeakSearch,
  strips: readonly (readonly [firstRow: number, endRow: number])[],
  found: PeakCollector,
): void {
  const bin = searchBinning(search.scalePx, plane.mosaic !== null);
  const blocks = openBlocks(plane, background, bin, search.scalePx);
  const lookForPeaks = peakSearcher(blocks, search, Math.abs(plane.scale), found);
  for (const [firstRow, endRow] of strips) {
    const rows = [Math.floor(firstRow / bin), Math.min(blocks.rows, Math.ceil(endRow / bin))] as const;
    const asSky = visitBlocks(blocks, rows, GROUP_ROWS, lookForPeaks);
    found.spikes += asSky;
  }
}

/** Looks for peaks in group after group of rows of blocks; `aduPerUnit` turns stored units into ADU. */
export function peakSearcher(
  { kernels, area, bin, columns, isFloat, stride, quiet, ratio, sky }: BlockSource,
  { scalePx, threshold }: PeakSearch,
  aduPerUnit: number,
  found: PeakCollector,
): (group: BlockRows) => void {
  const filter = area.floats(RECORD * RECORD);
  filter.view.set(matchedFilter(Math.max(1.3, scalePx / bin)));
  const limits = sky.limits(WORTH_A_LOOK * quiet, isFloat);
  // Of four neighbours one at most is a maximum.
  const room = (columns: number, rows: number): number => Math.ceil(columns / 2) * Math.ceil(rows / 2);
  const most = 2 * GROUP_ROWS;
  const records = area.floats(HEAD + RECORD * room(columns, most));
  const spikes = new Int32Array(records.view.buffer, records.address, 1);
  const rowBytes = stride * (isFloat ? 4 : 2);
  const search = (group: BlockRows, from: number, to: number): void => {
    const count = kernels.searchRows(
      group.address + (from - group.first) * rowBytes,
      isFloat,
      columns,
      stride,
      from,
      to - from,
      sky.level.address,
      sky.noise.address,
      limits,
      filter.address,
      quiet,
      threshold,
      bin === 1 ? ratio : 0,
      SPIKE_ABOVE,
      records.address,
    );
    found.spikes += spikes[0];
    if (count > 0) takePeaks(records.view, count, threshold, bin, bin * bin * aduPerUnit, found);
  };
  return (group) => {
    // The last rows of a group wait for those after them.
    const from = Math.max(group.start + HALO, group.first - HALO);
    const to = group.end - HALO;
    if (columns > 2 * HALO)
      for (let row = from; row < to; row += most) search(group, row, Math.min(to, row + most));
  };
}

/** Peaks from the kernel's records that their surroundings confirm. */
function takePeaks(
  view: Float32Array,
  count: number,
  threshold: number,
  bin: number,
  aduPerValue: number,
  found: PeakCollector,
): void {
  makeRoom(found, count);
  const { x, y, flux, snr } = found;
  let k = found.count;
  for (let n = 0; n < count; n += 1) {
    const at = HEAD + RECORD * n;
    // On raised light (nebula, halo) the map may lag behind: there the ring alone decides.
    if (!(view[at + 6] > (view[at + 7] > RAISED ? threshold : 0.7 * threshold))) continue;
    x[k] = (view[at] + view[at + 2] + 0.5) * bin - 0.5;
    y[k] = (view[at + 1] + view[at + 3] + 0.5) * bin - 0.5;
    flux[k] = view[at + 4] * aduPerValue;
    snr[k] = view[at + 5];
    k += 1;
  }
  found.count = k;
}
