import type { RegisterCommand } from './context.js';
import { registerSimulate } from './simulate.js';
import { registerTrain } from './train.js';

/** Every command, in the order `--help` lists them. */
export const commands: readonly RegisterCommand[] = [registerTrain, registerSimulate];
