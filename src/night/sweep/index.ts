export { assessSweep, defaultSweepOptions } from './assess-sweep.js';
export type {
  Measured,
  SpacingVerdict,
  SweepAssessment,
  SweepOptions,
  SweepSource,
  SweepTile,
} from './types.js';
export { starShapes, type StarShape } from './star-shapes.js';
export { starResponse } from './star-response.js';
