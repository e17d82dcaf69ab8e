// The exports of the module; what each does, and with which memory, stands with its source; their types, in ../load-kernels.ts.
export { orderBytes } from './order-bytes';
export { gatherTile } from './tile-sample';
export { median, medianBelow, sumsWithin } from './order-statistics';
export { binRow } from './bin-rows';
export { localMaxima } from './local-maxima';
export { blockSignal } from './block-signal';
export { momentSums, momentErrorSums } from './star-moments';
export { ringSample } from './ring-sample';
export { growthRings } from './growth-rings';
export { moffatSums, moffatNoise } from './moffat';
export { blockSums } from './block-sums';
export { resampleWindow, meanNearMedian } from './star-stack';
