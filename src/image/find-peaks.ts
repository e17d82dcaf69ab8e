import type { PixelPlane } from '../fits/types.js';
import { binRow, type BinningContext } from './binned-rows.js';
import { makeCandidateFilter } from './candidate-filter.js';
import { greenParity } from './green-sites.js';
import { searchBinning } from './search-scale.js';
import { skyLine } from './sky-line.js';
import { isSpike, spikeRatio } from './spike.js';
import type { BackgroundMap } from './types.js';

/** Peaks as they are found, growing arrays; positions 0-based pixels of the plane, flux ADU. */
export interface PeakCollector {
  readonly x: number[];
  readonly y: number[];
  readonly flux: number[];
  readonly snr: number[];
  spikes: number;
}

const BAND_ROWS = 64;
const HALO = 3;
/** A ring this many sd of its blocks' noise above the sky map counts as raised. */
const RAISED = 0.3;

/**
 * Local maxima that a matched filter confirms, in pixel rows firstRow..endRow-1 of the plane, at the bin factor fit for stars of half-flux diameter `scalePx`.
 *
 * The plane goes by in bands; on raw integers when no binning is needed. Peaks nearer than three blocks to the border are left out.
 */
export function findPeaks(
  plane: PixelPlane,
  background: BackgroundMap,
  scalePx: number,
  threshold: number,
  [firstRow, endRow]: readonly [number, number],
  found: PeakCollector,
): void {
  const parity = greenParity(plane.mosaic);
  const bin = searchBinning(scalePx, parity !== null);
  const columns = Math.floor(plane.width / bin);
  const rowFirst = Math.floor(firstRow / bin);
  const rowEnd = Math.min(Math.floor(plane.height / bin), Math.ceil(endRow / bin));
  if (columns < 7 || rowEnd - rowFirst < 7) return;
  const context: BinningContext = {
    plane,
    bin,
    parity,
    spikeRatio: spikeRatio(scalePx, parity === null ? 1 : Math.SQRT2),
  };
  const isRaw = bin === 1;
  const band = isRaw ? null : new Float32Array((BAND_ROWS + 2 * HALO) * columns);
  const filter = makeCandidateFilter(Math.max(1.3, scalePx / bin));
  const level = new Float64Array(columns);
  const noise = new Float64Array(columns);
  const limit = new Float64Array(columns);
  // Averaging n pixels leaves noise / sqrt(n).
  const quiet = 1 / Math.sqrt(parity === null ? bin * bin : (bin * bin) / 2);

  for (let start = rowFirst; start < rowEnd; start += BAND_ROWS) {
    const from = Math.max(rowFirst, start - HALO);
    const to = Math.min(rowEnd, start + BAND_ROWS + HALO);
    for (let row = from; row < to; row += 1) {
      if ((row - from) % 8 === 0) skyLine(plane, background, bin, row + 4, columns, level, noise);
      if (band !== null) {
        const spikes = binRow(context, row, columns, level, noise, band, (row - from) * columns);
        if (row >= start && row < start + BAND_ROWS) found.spikes += spikes;
      }
    }
    const image = band ?? plane.data;
    const stride = band === null ? plane.width : columns;
    const origin = band === null ? 0 : from;
    const last = Math.min(rowEnd - HALO, start + BAND_ROWS);
    for (let row = Math.max(rowFirst + HALO, start); row < last; row += 1) {
      if (row % 8 === 0 || row === start || row === rowFirst + HALO) {
        skyLine(plane, background, bin, row + 4, columns, level, noise);
        for (let c = 0; c < columns; c += 1) limit[c] = level[c] + 2.8 * noise[c] * quiet;
      }
      const base = (row - origin) * stride;
      for (let c = HALO; c < columns - HALO; c += 1) {
        const k = base + c;
        const v = image[k];
        if (!(v > limit[c])) continue;
        if (!isLocalMaximum(image, stride, k, v)) continue;
        if (
          isRaw &&
          v > level[c] + 5 * noise[c] &&
          isSpike(image, stride, k, level[c], noise[c], context.spikeRatio, false)
        ) {
          found.spikes += 1;
          continue;
        }
        const peak = filter(image, stride, k, level[c], noise[c] * quiet);
        // On raised light (nebula, halo) the map may lag behind: there the ring alone decides.
        const ringLimit = peak.ringLevel > RAISED ? threshold : 0.7 * threshold;
        if (!(peak.snr > threshold) || !(peak.ringSnr > ringLimit)) continue;
        found.x.push((c + peak.dx + 0.5) * bin - 0.5);
        found.y.push((row + peak.dy + 0.5) * bin - 0.5);
        found.flux.push(peak.flux * bin * bin * Math.abs(plane.scale));
        found.snr.push(peak.snr);
      }
    }
  }
}

/** Strictly above the neighbours after it in reading order, not below those before: one peak on a plateau of two. */
function isLocalMaximum(image: Uint16Array | Float32Array, stride: number, k: number, v: number): boolean {
  return (
    v >= image[k - 1] &&
    v > image[k + 1] &&
    v >= image[k - stride] &&
    v > image[k + stride] &&
    v >= image[k - stride - 1] &&
    v >= image[k - stride + 1] &&
    v > image[k + stride - 1] &&
    v > image[k + stride + 1]
  );
}
