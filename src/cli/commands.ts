import type { RegisterCommand } from './context.js';
import { registerCull } from './cull.js';
import { registerLadder } from './ladder.js';
import { registerMeasure } from './measure.js';
import { registerCorners } from './corners.js';
import { registerExplain } from './explain.js';
import { registerReview } from './review.js';
import { registerRig } from './rig.js';
import { registerSimulate } from './simulate.js';
import { registerSweep } from './sweep.js';
import { registerTrain } from './train.js';
import { registerWatch } from './watch.js';

/** Every command, in the order `--help` lists them. */
export const commands: readonly RegisterCommand[] = [
  registerCull,
  registerMeasure,
  registerCorners,
  registerReview,
  registerWatch,
  registerSweep,
  registerLadder,
  registerTrain,
  registerRig,
  registerSimulate,
  registerExplain,
];
