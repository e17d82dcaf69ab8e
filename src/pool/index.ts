export {
  assessFrames,
  chooseThreadCount,
  type AssessedFrames,
  type AssessFramesOptions,
  type FoundFrame,
  type FrameMemory,
  type FramesProgress,
} from './assess-frames.js';
export { createInlineRunner } from './inline-runner.js';
export { serveJobs } from './serve-jobs.js';
export { createWorkerPool, type JobRunner } from './worker-pool.js';
