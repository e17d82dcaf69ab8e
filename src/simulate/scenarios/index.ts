import type { ScenarioInput } from '../scenario.js';
import { sampleNight } from './sample-night.js';

/** Scenarios that are known by name, in the order they are listed. */
export const builtInScenarios: readonly ScenarioInput[] = [sampleNight];
