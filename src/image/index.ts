export { measureBackground } from './background-map.js';
export { backgroundAt, noiseAt } from './background-at.js';
export { detectSources, type DetectionOptions } from './detect-sources.js';
export { makePreview } from './preview.js';
export { findStreaks } from './find-streaks.js';
export { greenParity } from './green-sites.js';
export type { BackgroundMap, SourceList, Streak } from './types.js';
export { clippingLevel } from './clipping-level.js';
export { pixelQuantum } from './quantum.js';
