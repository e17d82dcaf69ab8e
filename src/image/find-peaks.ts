import type { PixelPlane } from '../fits/types.js';
import { residentPixels } from '../kernels/index.js';
import { makeCandidateFilter } from './candidate-filter.js';
import { greenParity } from './green-sites.js';
import { searchBinning } from './search-scale.js';
import { SKY_RUN, skyLine } from './sky-line.js';
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
/** Rows that share one reading of the sky map. */
const SKY_ROWS = 8;
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
  const pixels = residentPixels(plane.data);
  const { kernels } = pixels;
  const area = pixels.workArea();
  const ratio = spikeRatio(scalePx, parity === null ? 1 : Math.SQRT2);
  const filter = makeCandidateFilter(Math.max(1.3, scalePx / bin));
  const runs = Math.ceil(columns / SKY_RUN);
  const level = area.floats(runs);
  const noise = area.floats(runs);
  const limit = area.floats(runs);
  const hits = area.integers(columns);
  const isRaw = bin === 1;
  const band = isRaw ? null : area.floats((BAND_ROWS + 2 * HALO) * columns);
  const isFloat = isRaw ? pixels.isFloat : 1;
  const bytes = isFloat ? 4 : 2;
  // Averaging n pixels leaves noise / sqrt(n).
  const quiet = 1 / Math.sqrt(parity === null ? bin * bin : (bin * bin) / 2);

  for (let start = rowFirst; start < rowEnd; start += BAND_ROWS) {
    const from = Math.max(rowFirst, start - HALO);
    const to = Math.min(rowEnd, start + BAND_ROWS + HALO);
    for (let row = from; row < to && band !== null; row += 1) {
      if ((row - from) % SKY_ROWS === 0)
        skyLine(plane, background, bin, row + SKY_ROWS / 2, columns, level.view, noise.view);
      const spikes = kernels.binRow(
        pixels.address,
        pixels.isFloat,
        plane.width,
        plane.height,
        bin,
        parity ?? -1,
        row,
        columns,
        SKY_RUN,
        level.address,
        noise.address,
        ratio,
        band.address + 4 * (row - from) * columns,
      );
      if (row >= start && row < start + BAND_ROWS) found.spikes += spikes;
    }
    const image = band?.view ?? plane.data;
    const stride = band === null ? plane.width : columns;
    const origin = band === null ? 0 : from;
    const address = band?.address ?? pixels.address;
    const last = Math.min(rowEnd - HALO, start + BAND_ROWS);
    for (let row = Math.max(rowFirst + HALO, start); row < last; row += 1) {
      if (row % SKY_ROWS === 0 || row === start || row === rowFirst + HALO) {
        skyLine(plane, background, bin, row + SKY_ROWS / 2, columns, level.view, noise.view);
        for (let run = 0; run < runs; run += 1)
          limit.view[run] = level.view[run] + 2.8 * noise.view[run] * quiet;
      }
      const base = (row - origin) * stride;
      const n = kernels.localMaxima(
        address + base * bytes,
        isFloat,
        stride,
        columns,
        HALO,
        SKY_RUN,
        limit.address,
        hits.address,
      );
      for (let hit = 0; hit < n; hit += 1) {
        const c = hits.view[hit];
        const k = base + c;
        const sky = level.view[Math.floor(c / SKY_RUN)];
        const sd = noise.view[Math.floor(c / SKY_RUN)];
        if (isRaw && image[k] > sky + 5 * sd && isSpike(image, stride, k, sky, sd, ratio, false)) {
          found.spikes += 1;
          continue;
        }
        const peak = filter(image, stride, k, sky, sd * quiet, threshold);
        if (peak === null) continue;
        // On raised light (nebula, halo) the map may lag behind: there the ring alone decides.
        if (!(peak.ringSnr > (peak.ringLevel > RAISED ? threshold : 0.7 * threshold))) continue;
        found.x.push((c + peak.dx + 0.5) * bin - 0.5);
        found.y.push((row + peak.dy + 0.5) * bin - 0.5);
        found.flux.push(peak.flux * bin * bin * Math.abs(plane.scale));
        found.snr.push(peak.snr);
      }
    }
  }
}
