import type { PixelPlane } from '../fits/types.js';
import { brightestFirst, gather } from '../stats/index.js';
import { openBlocks, visitBlocks } from './block-rows.js';
import { coarseBlockPx, coarseSignal, signalCollector, type CoarseSignal } from './coarse-signal.js';
import { peakSearcher } from './find-peaks.js';
import { collectPeaks, type PeakCollector } from './peak-collector.js';
import { searchBinning } from './search-scale.js';
import { estimateStarScale } from './star-scale.js';
import type { BackgroundMap, SourceList } from './types.js';

export interface DetectionOptions {
  /** Half-flux diameter of the star image, pixels, when it is known; otherwise estimated from the frame. */
  readonly scalePx?: number;
  /** Signal to noise in the matched filter that a source must reach. Default 5. */
  readonly threshold?: number;
}

/** Star images narrower than this do not exist: light that falls on one pixel alone is about one pixel wide. */
const SMALLEST_SCALE = 1.2;

/**
 * Star-like sources of a frame, brightest first, and the frame's light in coarse blocks for those who look for larger things; null where there is no sky to measure it from.
 *
 * The search runs at the bin factor where the frame's own star image is about two blocks wide (so a defocused ring is one source), on raw integers
 * where that factor is 1; single bright pixels are counted and left out. On a colour mosaic the green sites are searched. The pixels go by once.
 * A frame without a background (all blank) or with no noise at all gives an empty list.
 */
export function detectSources(
  plane: PixelPlane,
  background: BackgroundMap,
  options: DetectionOptions = {},
): { readonly sources: SourceList; readonly signal: CoarseSignal | null } {
  const found = collectPeaks();
  const isMeasurable = Number.isFinite(background.medianLevel) && background.medianNoise > 0;
  const estimate = options.scalePx ?? (isMeasurable ? estimateStarScale(plane, background) : null);
  const scalePx = Math.max(SMALLEST_SCALE, estimate ?? 3);
  const signal = isMeasurable ? search(plane, background, scalePx, options.threshold ?? 5, found) : null;
  const order = brightestFirst(found.flux.subarray(0, found.count));
  const sources = {
    count: order.length,
    x: gather(found.x, order).map((x) => x + 1),
    y: gather(found.y, order).map((y) => y + 1),
    flux: gather(found.flux, order),
    snr: gather(found.snr, order),
    scalePx,
    hotPixels: found.spikes,
  };
  return { sources, signal };
}

function search(
  plane: PixelPlane,
  background: BackgroundMap,
  scalePx: number,
  threshold: number,
  found: PeakCollector,
): CoarseSignal {
  const bin = searchBinning(scalePx, plane.mosaic !== null);
  const blocks = openBlocks(plane, background, bin, scalePx);
  const lookForPeaks = peakSearcher(blocks, { scalePx, threshold }, Math.abs(plane.scale), found);
  const side = coarseBlockPx(plane);
  // Blocks as large as defocused stars are too large for trails.
  const isFineEnough = bin <= side;
  const collector = signalCollector(blocks, Math.max(bin, side));
  const asSky = visitBlocks(blocks, [0, blocks.rows], collector.groupRows, (group) => {
    lookForPeaks(group);
    if (isFineEnough) collector.add(group);
  });
  // Beside those that the search of whole pixels met.
  found.spikes += asSky;
  return isFineEnough ? collector.signal : coarseSignal(plane, background, scalePx);
}
