export { assessSweep, defaultSweepOptions } from './assess-sweep.js';
export { RIG_CAUTIONS } from './sweep-advice.js';
export type { SpacingVerdict, SweepAssessment, SweepOptions, SweepTile } from './types.js';
