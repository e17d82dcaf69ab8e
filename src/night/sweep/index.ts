export { assessSweep, defaultSweepOptions } from './assess-sweep.js';
export type { Measured, SpacingVerdict, SweepAssessment, SweepOptions, SweepTile } from './types.js';
export { starResponse } from './star-response.js';
