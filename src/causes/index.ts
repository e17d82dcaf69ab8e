export { causes } from './registry.js';
export { findCauses } from './find-causes.js';
export { causesOfFrames } from './causes-of-frames.js';
export { explainCause } from './explain-cause.js';
export type {
  Cause,
  CauseAnswer,
  CauseCode,
  CauseFinding,
  CauseMeta,
  Evidence,
  NightAssessment,
  NightFigures,
} from './types.js';
