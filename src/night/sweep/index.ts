export { assessSweep, defaultSweepOptions } from './assess-sweep.js';
export type { SpacingVerdict, SweepAssessment, SweepOptions, SweepTile } from './types.js';
