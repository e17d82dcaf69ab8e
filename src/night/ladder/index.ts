export { assessLadder, refuseSingleSpacing } from './assess-ladder.js';
export type { LadderAssessment, LadderOptions, LadderPoint, LadderRung, ScaleWitness } from './types.js';
