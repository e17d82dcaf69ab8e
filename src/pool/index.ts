export {
  assessFrames,
  chooseThreadCount,
  type AssessedFrames,
  type AssessFramesOptions,
  type FrameMemory,
  type FramesProgress,
} from './assess-frames.js';
export { createFrameRunner } from './frame-runner.js';
export { createInlineRunner } from './inline-runner.js';
export { createWorkerPool, type JobRunner } from './worker-pool.js';
export { openFrameCache, type FrameCacheOptions } from './frame-cache.js';
