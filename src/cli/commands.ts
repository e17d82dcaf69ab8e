import type { RegisterCommand } from './context.js';

/** Every command, in the order `--help` lists them. */
export const commands: readonly RegisterCommand[] = [];
