// The exports of the module; what each does, and with which memory, stands with its source; their types, in ../load-kernels.ts.
export { orderBytes } from './order-bytes';
export { gatherTile } from './tile-sample';
export { median, medianBelow, sumsWithin } from './order-statistics';
export { binRow } from './bin-rows';
export { halvePixels, halveBlocks } from './halve-rows';
export { tileLine, limitLine } from './sky-line';
export { searchRows } from './search-rows';
export { blockSignal } from './block-signal';
export { momentSums, momentErrorSums } from './star-moments';
export { gatherWindow, maskSpikes } from './gather-window';
export { ringSample } from './ring-sample';
export { growthRings } from './growth-rings';
export { moffatSums, moffatNoise } from './moffat';
export { blockSums } from './block-sums';
export { resampleWindow, meanNearMedian } from './star-stack';
export { gatherWhole, wholeQuantile, wholeSums } from './whole-sample';
export { readCoarseTile, readTileCore } from './tile-readings';
export { countAbove, placesAbove, lineScores } from './line-votes';
